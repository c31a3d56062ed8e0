"""How mesh is fitted in this shop: its own limits, rods and words, as the phones get them."""

import pytest
from django.test import Client

from frames.forms import Stretching
from frames.models import Feed, Shop
from tests.pages.floor import Floor
from tests.pages.reading import errors, fields

pytestmark = pytest.mark.django_db
PAGE = "/office/shop/stretching/"


def test_it_starts_from_what_is_usual(sol: Client, floor: Floor) -> None:
    shown = fields(sol.get(PAGE))
    assert (shown["rock_limit_mm"], shown["coarse_rounds"]) == ("1", "2")


def test_what_is_saved_goes_to_the_phones(sol: Client, floor: Floor) -> None:
    typed = {
        "rest_minutes": "40",
        "pre_bow_mm": "6,5",
        "rods": "polyester 10-60: smaller rod\nstainless 40\u2013200: smallest rod",
        "note_lock_A": "Start at the punch mark.",
    }
    answer = sol.post(PAGE, fields(sol.get(PAGE)) | typed)
    assert answer["Location"] == PAGE
    kept = Feed.objects.latest("seq").body["stretching"]
    assert (kept["rest_minutes"], kept["pre_bow_mm"]) == (40, 6.5)
    assert [row["rods"] for row in kept["rods"]] == ["smaller rod", "smallest rod"]
    assert kept["notes"] == {"lock_A": "Start at the punch mark."}
    assert fields(sol.get(PAGE))["rods"].splitlines()[1] == "stainless 40-200: smallest rod"
    assert Stretching.model_validate(kept)


BAD = [
    ({"rods": "thin rods for fine mesh"}, "rods", "“thin rods for fine mesh” is not understood"),
    ({"rods": "polyester 60-10: rod"}, "rods", "give the lower count first"),
    ({"coarse_rounds": "9"}, "coarse_rounds", "from 0 to 4"),
    ({"pre_bow_mm": "80"}, "pre_bow_mm", "up to 30"),
    ({"rest_minutes": "soon"}, "rest_minutes", "“soon” is not a number"),
    ({"note_rested": "x" * 401}, "note_rested", "Shorten the note to 400"),
]


@pytest.mark.parametrize(("typed", "field", "said"), BAD, ids=[case[2] for case in BAD])
def test_what_does_not_fit_is_told_beside_its_field(
    sol: Client, floor: Floor, typed: dict[str, str], field: str, said: str
) -> None:
    page = sol.post(PAGE, fields(sol.get(PAGE)) | typed)
    assert said in " ".join(errors(page)[field])
    assert Shop.objects.get().version == 1
