"""One scan, whatever symbol it came from and however the scanner is set."""

from __future__ import annotations

from inventory.markings.identifiers import BadIdentifier, normalise_gtin
from inventory.markings.scans.elements import bracketed, elements_of, lots_of
from inventory.markings.scans.link import is_link, linked
from inventory.markings.scans.values import SEPARATOR, Elements, Form, Scan, UnreadableScan

LONGEST = 500
# How else the separator arrives: in caret notation, as its picture, as a name for it.
_STANDS_FOR_SEPARATOR = ("^]", "\N{SYMBOL FOR GROUP SEPARATOR}", "<GS>", "{GS}")
# Symbology identifiers of ISO/IEC 15424 (from memory): those with FNC1 in the first place, that
# is, GS1 data; and those of EAN and UPC with the length of what follows.
_GS1 = frozenset({"]C1", "]e0", "]d2", "]Q3", "]J1"})
_ARTICLES = {"]E0": 13, "]E4": 8}
_LENGTHS = (8, 12, 13, 14)


def read_scan(text: str) -> Scan:
    """What a scan says: GS1 data, an article number, or a code of the house.

    Reads element strings with and without separators (GS, also as ``^]`` and the like), with and
    without a symbology identifier in front (``]C1 ]d2 ]Q3 ]E0`` ...), with the identifiers in
    brackets, GS1 Digital Links, GTIN-8, -12, -13 and -14, and any other single line as a code.
    Lengths, signs, check digits and dates are checked; which identifiers need one another is not.

    Raises UnreadableScan for nothing, for control characters, and for what by its prefix, its
    brackets, its separators or its address is GS1 data and cannot be read as such.
    """
    plain = _plain(text)
    prefix, body = _prefix(plain)
    if is_link(body):
        return _gs1(body, Form.LINK, prefix, linked(body))
    if body.startswith("("):
        return _in_brackets(body, prefix)
    if prefix in _GS1 or SEPARATOR in body:
        return _gs1(body, Form.ELEMENTS, prefix, elements_of(body))
    if prefix in _ARTICLES:
        return _article(body, prefix)
    return _either(body, prefix)


def _plain(text: str) -> str:
    """Without blanks at the ends, each separator as one sign; refused if it is no single line."""
    plain = text
    for sign in _STANDS_FOR_SEPARATOR:
        plain = plain.replace(sign, SEPARATOR)
    plain = plain.strip().strip(SEPARATOR)
    if not plain:
        raise UnreadableScan("", 0, "a label or an article number")
    if len(plain) > LONGEST:
        raise UnreadableScan(plain, LONGEST, f"no more than {LONGEST} signs")
    for place, sign in enumerate(plain):
        if not sign.isprintable() and sign != SEPARATOR:
            raise UnreadableScan(plain, place, "a printable sign")
    return plain


def _prefix(text: str) -> tuple[str, str]:
    """The symbology identifier, if there is one, and the rest."""
    if not text.startswith("]"):
        return "", text
    prefix, body = text[:3], text[3:].strip(SEPARATOR)
    if len(prefix) < 3 or not (prefix[1:].isascii() and prefix[1:].isalnum()):
        raise UnreadableScan(text, 1, "a letter and a figure, such as ]d2,")
    if not body:
        raise UnreadableScan(text, 3, "what the symbol says, behind its prefix,")
    return prefix, body


def _gs1(text: str, form: Form, prefix: str, elements: Elements, code: str = "") -> Scan:
    lots = lots_of(text, elements) if form == Form.ELEMENTS else ()
    said = dict(elements)
    if not lots and "10" in said:
        lots = (said["10"],)
    return Scan(text, form, prefix, elements, code, said.get("01", said.get("02", "")), lots)


def _in_brackets(text: str, prefix: str) -> Scan:
    """Brackets are GS1 data, unless what they hold is no identifier: then it is a code."""
    try:
        elements = bracketed(text)
    except UnreadableScan:
        if text[1:2].isdecimal() or prefix in _GS1:
            raise
        return Scan(text, Form.CODE, prefix, code=text)
    return _gs1(text, Form.BRACKETS, prefix, elements)


def _article(text: str, prefix: str) -> Scan:
    """A symbol that can hold nothing but an article number."""
    if len(text) != _ARTICLES[prefix]:
        raise UnreadableScan(text, len(text), f"{_ARTICLES[prefix]} figures behind {prefix}")
    try:
        return Scan(text, Form.GTIN, prefix, gtin=normalise_gtin(text))
    except BadIdentifier as error:
        right = "a valid check digit"
        raise UnreadableScan(text, len(text) - 1, right) from error


def _either(text: str, prefix: str) -> Scan:
    """Nothing tells what it is: an article number, a code, or elements sent without a prefix."""
    if text.isascii() and text.isdecimal() and len(text) in _LENGTHS:
        try:
            return Scan(text, Form.GTIN, prefix, code=text, gtin=normalise_gtin(text))
        except BadIdentifier as error:
            return Scan(text, Form.CODE, prefix, code=text, doubt=str(error))
    try:
        elements = elements_of(text)
    except UnreadableScan as error:
        article = text.startswith("01") and text[2:16].isdecimal() and len(text) > 15
        return Scan(text, Form.CODE, prefix, code=text, doubt=str(error) if article else "")
    return _gs1(text, Form.ELEMENTS, prefix, elements, code=text)
