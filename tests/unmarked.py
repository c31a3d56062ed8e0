"""Finds texts for people that no catalogue will ever see: not marked in a template or in Python."""

import ast
import re
from collections.abc import Iterator
from html.parser import HTMLParser

from django.template.base import Lexer, TokenType

from tests.catalogue import FIRST, LAST, PLURAL

READ_ALOUD = {"title", "placeholder", "aria-label", "alt", "data-label", "data-axis", "data-along"}
# The same in every language: units, sides, names of formats, our own name.
SAME = {"mm", "cm", "N", "MB", "A", "B", "C", "D", "σ", "csv", "Tautbook", "Android"}
WORD = re.compile(r"[^\W\d_][\w’'-]*")
TAGS = {"translate", "blocktranslate"}
# A literal in a tag that is shown as it stands: default:"Screen", caption="Operators".
SHOWN = re.compile(
    r"""(?:default|default_if_none|yesno|pluralize):"[^"]*[A-Za-z]|=["'][A-Z][a-z]+"""
)


def of_template(source: str) -> list[str]:
    """Text and spoken attributes outside of translate tags, and literals that tags would show."""
    kept, inside, found = [], False, []
    for token in Lexer(source).tokenize():
        name = token.contents.split(maxsplit=1)[0] if token.contents.strip() else ""
        if token.token_type == TokenType.TEXT:
            kept.append("" if inside else token.contents)
        elif token.token_type == TokenType.BLOCK:
            inside = name == "blocktranslate" or (inside and name != "endblocktranslate")
        if token.token_type in (TokenType.BLOCK, TokenType.VAR) and name not in TAGS:
            found += SHOWN.findall(token.contents)
    reader = _Read()
    reader.feed("".join(kept))
    reader.close()
    return found + [text for text in reader.texts if _has_words(text)]


class _Read(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.texts: list[str] = []

    def handle_data(self, data: str) -> None:
        self.texts.append(data.strip())

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.texts += [value or "" for name, value in attrs if name in READ_ALOUD]


def _has_words(text: str) -> bool:
    return any(word not in SAME for word in WORD.findall(text))


# What is said to programmers or programs, wherever it stands.
UNHEARD = {"Field", "APIRouter", "NinjaAPI", "getLogger", "debug", "exception"}
UNHEARD |= {
    "who_may",
    "ValueError",
    "TypeError",
    "AttributeError",
    "ImproperlyConfigured",
}
LOGGED = {"info", "warning", "error"}  # by `logger`; pages say with `messages` what was done
NAMED = {"label", "help_text", "empty_label", "verbose_name"}
SENTENCE = re.compile(r"^[A-Z“][\w’'“”,:;()-]*( [^\s]+)+[.!?:]?$|^[A-Z][a-z]+\.$")


def of_python(source: str) -> Iterator[tuple[int, str]]:
    """Line and text of every literal that reads like a sentence and is handed to nobody."""
    tree = ast.parse(source)
    heard = {id(one) for node in ast.walk(tree) for one in _not_for_people(node)}
    for node in ast.walk(tree):
        if id(node) in heard:
            continue
        if isinstance(node, ast.JoinedStr):
            text = "".join(v.value if isinstance(v, ast.Constant) else "{}" for v in node.values)
            if SENTENCE.match(text) and WORD.findall(text):
                yield node.lineno, text
        elif _is_sentence(node):
            yield node.lineno, node.value
        elif isinstance(node, ast.keyword) and node.arg in NAMED and _is_text(node.value):
            yield node.value.lineno, node.value.value


def _is_text(node: ast.AST) -> bool:
    return isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value != ""


def _is_sentence(node: ast.AST) -> bool:
    return _is_text(node) and SENTENCE.match(node.value) is not None


def _not_for_people(node: ast.AST) -> Iterator[ast.AST]:
    """Everything below a mark, docstrings, annotations, decorators, logging, parts of f-strings."""
    if isinstance(node, ast.Call):
        name = getattr(node.func, "id", getattr(node.func, "attr", ""))
        logged = (
            name in LOGGED and getattr(getattr(node.func, "value", None), "id", "") != "messages"
        )
        if logged or name in FIRST | LAST | PLURAL | UNHEARD:
            for given in [*node.args, *(word.value for word in node.keywords)]:
                yield from ast.walk(given)
    elif isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
        yield node.value
    elif isinstance(node, ast.JoinedStr):
        yield from node.values
    for field in ("annotation", "returns"):
        if part := getattr(node, field, None):
            yield from ast.walk(part)
    for part in getattr(node, "decorator_list", ()):
        yield from ast.walk(part)
