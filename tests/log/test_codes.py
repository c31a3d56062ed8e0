"""Check characters by ISO/IEC 7064, MOD 37,36, and what a scan is taken for."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from frames.codes import ALPHABET, Code, check_character, format_code, parse_code, scan_target
from frames.errors import CodeError

ORIGIN = "https://shop.test:8443"

# Identifiers printed in standards that prescribe MOD 37,36 (all three from memory).
PUBLISHED = {
    "A12425GABC1234002": "M",  # Global Release Identifier: IFPI, GRid Standard, example
    "00000000D07A0090": "Q",  # ISAN 0000-0000-D07A-0090-Q: ISO 15706, example
    "B159D8FA01240000": "K",  # ISAN B159-D8FA-0124-0000-K: ISAN user guide, example
}
codes = st.builds(
    format_code, st.from_regex("[A-Z]{1,3}", fullmatch=True), st.integers(0, 10**9 - 1)
)


@pytest.mark.parametrize(("text", "check"), PUBLISHED.items())
def test_published_identifiers(text: str, check: str) -> None:
    assert check_character(text) == check


def test_the_remainder_of_a_whole_code_is_one() -> None:
    """The condition by which the standard defines a valid string (hybrid system, M = 36)."""
    for text in PUBLISHED:
        product = 36
        for character in text:
            product = ((product + ALPHABET.index(character)) % 36 or 36) * 2 % 37
        assert (product + ALPHABET.index(check_character(text))) % 36 == 1


@given(codes, st.data())
def test_any_one_wrong_character_is_noticed(code: str, data: st.DataObject) -> None:
    tight = code.replace("-", "")
    at = data.draw(st.integers(0, len(tight) - 1))
    wrong = data.draw(st.sampled_from([c for c in ALPHABET if c != tight[at]]))
    body, check = (
        (tight[:at] + wrong + tight[at + 1 :])[:-1],
        (tight[:at] + wrong + tight[at + 1 :])[-1],
    )
    assert check_character(body) != check


def test_nearly_every_swap_of_neighbours_is_noticed() -> None:
    """The standard promises all or nearly all; here every pair of digits in frame codes."""
    missed = seen = 0
    for number in range(10_000):
        digits = f"{number:04d}"
        for at in range(3):
            swapped = digits[:at] + digits[at + 1] + digits[at] + digits[at + 2 :]
            if swapped != digits:
                seen += 1
                missed += check_character("F" + swapped) == check_character("F" + digits)
    assert missed / seen < 0.01


@given(codes)
def test_codes_are_read_in_any_case_with_or_without_hyphen(code: str) -> None:
    read = parse_code(code)
    assert str(read) == code
    for text in (code.lower(), code.replace("-", ""), f"  {code[:3]} {code[3:]} "):
        assert parse_code(text) == read


def test_a_code_as_printed() -> None:
    assert format_code("F", 417) == "F0417-N"
    assert parse_code("f0417n") == Code("F", 417)


@pytest.mark.parametrize(
    ("text", "remedy"),
    [
        ("F0417-M", "One character is wrong: compare it with the label again."),
        ("F0471-N", "One character is wrong: compare it with the label again."),
        ("", "Type the code as printed, for example F0417-N."),
        ("0417", "Type the code as printed, for example F0417-N."),
        ("F417-N", "Type the code as printed, for example F0417-N."),
        ("FRAME0417-N", "Type the code as printed, for example F0417-N."),
        ("F٠٤١٧-N", "Type the code as printed, for example F0417-N."),
    ],
)
def test_what_is_said_about_a_code_that_cannot_be_read(text: str, remedy: str) -> None:
    with pytest.raises(CodeError) as caught:
        parse_code(text)
    assert (caught.value.field, caught.value.value, caught.value.remedy) == ("code", text, remedy)


@pytest.mark.parametrize(
    ("text", "other_host"),
    [
        ("F0417-N", None),
        ("https://shop.test:8443/f/F0417-N", None),
        ("HTTPS://SHOP.TEST:8443/F/F0417-N", None),
        ("https://shop.test:8443/f/f0417n/", None),
        ("https://shop.test:8443/f/F0417%2DN", None),
        ("http://old-name.test/f/F0417-N", "old-name.test"),
        ("https://shop.test/f/F0417-N", "shop.test"),
    ],
)
def test_label_addresses_are_mapped_to_their_code(text: str, other_host: str | None) -> None:
    target = scan_target(text, ORIGIN)
    assert (target.code, target.other_host) == (Code("F", 417), other_host)


@pytest.mark.parametrize(
    "text",
    [
        "https://shop.test:8443/office/",
        "https://shop.test:8443/f/F0417-M",
        "javascript://shop.test/f/F0417-N",
        "https://[broken/f/F0417-N",
        "WIFI:S:shop;P:secret;;",
        "https://elsewhere.test/f/F0417-N/more",
    ],
)
def test_other_scans_are_refused(text: str) -> None:
    with pytest.raises(CodeError):
        scan_target(text, ORIGIN)


def test_a_number_too_long_for_a_label_is_refused() -> None:
    with pytest.raises(CodeError, match="number from 0 to 999999999"):
        format_code("F", 10**9)
