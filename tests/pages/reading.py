"""Reads a page as a person does: its words, its tables, its errors."""

from html.parser import HTMLParser
from typing import Any

from django.http import HttpResponse

SILENT = {"script", "style", "title", "head"}


class Words(HTMLParser):
    """The visible text of a page, one space between its parts."""

    def __init__(self) -> None:
        super().__init__()
        self.parts: list[str] = []
        self.within: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in SILENT:
            self.within.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if self.within and self.within[-1] == tag:
            self.within.pop()

    def handle_data(self, data: str) -> None:
        if not self.within and data.strip():
            self.parts.append(" ".join(data.split()))


def words(response: HttpResponse) -> str:
    assert response.status_code == 200, response.status_code
    reader = Words()
    reader.feed(response.content.decode())
    return " ".join(reader.parts)


class Values(HTMLParser):
    """What each field of a form holds now."""

    def __init__(self) -> None:
        super().__init__()
        self.held: dict[str, str] = {}
        self.area = self.choice = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        about = {name: value or "" for name, value in attrs}
        name = about.get("name", "")
        box = about.get("type") in ("checkbox", "radio")
        if tag == "input" and name and (not box or "checked" in about):
            self.held[name] = about.get("value", "on" if box else "")
        elif tag == "textarea":
            self.area, self.held[name] = name, ""
        elif tag == "select":
            self.choice = name
        elif tag == "option" and ("selected" in about or self.choice not in self.held):
            self.held[self.choice] = about.get("value", "")

    def handle_endtag(self, tag: str) -> None:
        if tag == "textarea":
            # a browser drops one line break after <textarea>
            self.held[self.area] = self.held[self.area].removeprefix("\n")
            self.area = ""

    def handle_data(self, data: str) -> None:
        if self.area:
            self.held[self.area] += data


def fields(response: HttpResponse) -> dict[str, str]:
    """The values that a browser would send if the form were sent as it stands."""
    reader = Values()
    reader.feed(response.content.decode())
    return {n: v for n, v in reader.held.items() if n != "csrfmiddlewaretoken"}


def errors(response: HttpResponse) -> dict[str, list[str]]:
    """What the page's form says is wrong, by field."""
    form: Any = response.context["form"]
    return {field: list(said) for field, said in form.errors.items()}
