"""Every form of size designation, and exactly what it says.

Designations are published ones: UN R30 and UN R54 forms from memory, the older and the
competition forms by common practice, no source. Fields not named in a case must be absent.
"""

from __future__ import annotations

import pytest

from inventory.markings import read_size

KEYS = [
    *("prefix", "width_mm", "width_in", "aspect", "construction", "speed_in_size", "rim_in"),
    *("rim_mm", "bead", "load_index", "load_index_dual", "speed", "section_mm", "section_cm"),
    *("section_in", "overall_mm", "overall_cm", "overall_in", "letter", "suffixes", "canonical"),
    "family",
]

R, D, B = {"construction": "radial"}, {"construction": "bias"}, {"construction": "bias-belted"}


def mm(width, rim, **more):
    return {"width_mm": width, "rim_in": rim, **more}


def inch(width, rim, **more):
    return {"width_in": width, "rim_in": rim, "construction": "bias", **more}


METRIC = [
    ("185/70 R 15", mm(185, 15, aspect=70, **R)),
    ("185/70 HR 15", mm(185, 15, aspect=70, speed_in_size="H", **R)),
    ("185/70 VR 15", mm(185, 15, aspect=70, speed_in_size="V", **R)),
    ("185/70 VR 15 89V", mm(185, 15, aspect=70, speed_in_size="V", load_index=89, speed="V", **R)),
    ("205/70 VR 15 95V", mm(205, 15, aspect=70, speed_in_size="V", load_index=95, speed="V", **R)),
    ("195/65 R 15 91H", mm(195, 15, aspect=65, load_index=91, speed="H", **R)),
    ("225/55 ZR 17 97W", mm(225, 17, aspect=55, speed_in_size="Z", load_index=97, speed="W", **R)),
    ("345/35 R 15", mm(345, 15, aspect=35, **R)),
    ("165/80 R 15", mm(165, 15, aspect=80, **R)),
    ("165/82 R 15", mm(165, 15, aspect=82, **R)),
    ("165/70 R 10", mm(165, 10, aspect=70, **R)),
    ("185/70 B 13", mm(185, 13, aspect=70, **B)),
    ("185/70 D 13", mm(185, 13, aspect=70, **D)),
    ("205/55 R 16 94W XL", mm(205, 16, aspect=55, load_index=94, speed="W", suffixes=["XL"], **R)),
    ("165 R 15", mm(165, 15, **R)),
    ("165 SR 15", mm(165, 15, speed_in_size="S", **R)),
    ("165 HR 15", mm(165, 15, speed_in_size="H", **R)),
    ("205 VR 15", mm(205, 15, speed_in_size="V", **R)),
    ("165 R 15 86S", mm(165, 15, load_index=86, speed="S", **R)),
    ("165 R 15 86", mm(165, 15, load_index=86, **R)),
    ("125 R 12", mm(125, 12, **R)),
    ("205 R 16", mm(205, 16, **R)),
    ("155 D 13", mm(155, 13, **D)),
    ("155 B 13", mm(155, 13, **B)),
    (
        "185 R 14 C 102/100 R",
        mm(185, 14, load_index=102, load_index_dual=100, speed="R", suffixes=["C"], **R),
    ),
    ("165 R 13 C 6PR", mm(165, 13, suffixes=["C", "6PR"], **R)),
    ("P185/75 R 14", mm(185, 14, prefix="P", aspect=75, **R)),
    ("P205/70 B 14", mm(205, 14, prefix="P", aspect=70, **B)),
    ("T125/70 D 15", mm(125, 15, prefix="T", aspect=70, **D)),
    ("T115/70 R 15", mm(115, 15, prefix="T", aspect=70, **R)),
    ("LT235/75 R 15", mm(235, 15, prefix="LT", aspect=75, **R)),
    ("165 R 400", {"width_mm": 165, "rim_mm": 400, **R}),
    ("165 HR 400", {"width_mm": 165, "rim_mm": 400, "speed_in_size": "H", **R}),
    ("165-380", {"width_mm": 165, "rim_mm": 380}),
    ("155-400", {"width_mm": 155, "rim_mm": 400}),
    ("145 R 330", {"width_mm": 145, "rim_mm": 330, **R}),
    ("190/65 R 390", {"width_mm": 190, "aspect": 65, "rim_mm": 390, **R}),
    ("160/65 R 315", {"width_mm": 160, "aspect": 65, "rim_mm": 315, **R}),
    ("220/55 VR 390", {"width_mm": 220, "aspect": 55, "rim_mm": 390, "speed_in_size": "V", **R}),
    (
        "240/45 R 415 94W",
        {"width_mm": 240, "aspect": 45, "rim_mm": 415, "load_index": 94, "speed": "W", **R},
    ),
    ("155-15", mm(155, 15)),
    ("165-13 4PR", mm(165, 13, suffixes=["4PR"])),
    ("155-15 82S", mm(155, 15, load_index=82, speed="S")),
    ("185/70-13", mm(185, 13, aspect=70)),
    ("P185/75-14", mm(185, 14, prefix="P", aspect=75)),
]

INCH = [
    ("5.60-15", inch(5.6, 15)),
    ("6.00-16", inch(6, 16)),
    ("6.40-13", inch(6.4, 13)),
    ("8.20-15", inch(8.2, 15)),
    ("4.80-10", inch(4.8, 10)),
    ("3.50-8", inch(3.5, 8)),
    ("10.00-20", inch(10, 20)),
    ("7.50-16 8PR TT", inch(7.5, 16, suffixes=["8PR", "TT"])),
    ("5.60 S 15", inch(5.6, 15, speed_in_size="S")),
    ("6.00 H 16", inch(6, 16, speed_in_size="H")),
    ("5.90 V 15", inch(5.9, 15, speed_in_size="V")),
    ("8.75-16.5", inch(8.75, 16.5)),
    ("7.50 R 16", {**inch(7.5, 16), **R}),
    ("6.40 SR 13", {**inch(6.4, 13), "speed_in_size": "S", **R}),
    ("7.50 R 16 LT 8PR", {**inch(7.5, 16), "suffixes": ["LT", "8PR"], **R}),
    ("5.50 L 15", inch(5.5, 15, letter="L")),
    ("5.00 L 15", inch(5, 15, letter="L")),
    ("4.50 M 15", inch(4.5, 15, letter="M")),
    ("7.00 L 15 TT", inch(7, 15, letter="L", suffixes=["TT"])),
    ("6.5-13", inch(6.5, 13)),
    ("5.9-10", inch(5.9, 10)),
    ("4.40/4.50-21", inch(4.4, 21)),
    ("6.40/6.50-13", inch(6.4, 13)),
    ("5.00/5.20-14", inch(5, 14)),
    ("6.00/6.50-16 6PR", inch(6, 16, suffixes=["6PR"])),
    ("6.00/6.50 R 16", {**inch(6, 16), **R}),
    ("185-14/7.35-14", mm(185, 14, **D)),
    ("155-13/6.15-13", mm(155, 13, **D)),
    ("6.95-14/175-14", inch(6.95, 14)),
    ("175 R 14/6.95 R 14", mm(175, 14, **R)),
]

OTHER = [
    ("FR70-14", {"letter": "F", "aspect": 70, "rim_in": 14, **R}),
    ("LR78-15", {"letter": "L", "aspect": 78, "rim_in": 15, **R}),
    ("GR70 VR 15", {"letter": "G", "aspect": 70, "rim_in": 15, "speed_in_size": "V", **R}),
    ("F70-14", {"letter": "F", "aspect": 70, "rim_in": 14}),
    ("L60-15", {"letter": "L", "aspect": 60, "rim_in": 15}),
    (
        "31x10.50 R 15 LT",
        {
            **{"overall_in": 31, "section_in": 10.5, "width_in": 10.5, "rim_in": 15},
            **{"suffixes": ["LT"], **R},
        },
    ),
    ("31x10.50-15", {"overall_in": 31, "section_in": 10.5, "width_in": 10.5, "rim_in": 15, **D}),
    (
        "LT33x12.50 R 15",
        {
            **{"prefix": "LT", "overall_in": 33, "section_in": 12.5, "width_in": 12.5},
            **{"rim_in": 15, **R},
        },
    ),
    (
        "820x120",
        {"overall_mm": 820, "section_mm": 120, "rim_mm": 580, "bead": "beaded edge", **D},
    ),
    ("710x90", {"overall_mm": 710, "section_mm": 90, "rim_mm": 530, "bead": "beaded edge", **D}),
    ("33x5", {"overall_in": 33, "section_in": 5, "rim_in": 23, "bead": "straight side", **D}),
    ("34x4½", {"overall_in": 34, "section_in": 4.5, "rim_in": 25, "bead": "straight side", **D}),
    ("30x3½", {"overall_in": 30, "section_in": 3.5, "rim_in": 23, **D}),
    ("28x3 BE", {"overall_in": 28, "section_in": 3, "rim_in": 22, "bead": "beaded edge", **D}),
    ("32x3½ SS", {"overall_in": 32, "section_in": 3.5, "rim_in": 25, "bead": "straight side", **D}),
    ("20/54-13", {"section_cm": 20, "overall_cm": 54, "rim_in": 13}),
    ("23/57-13", {"section_cm": 23, "overall_cm": 57, "rim_in": 13}),
    ("18/60-15", {"section_cm": 18, "overall_cm": 60, "rim_in": 15}),
    ("20/54 R 13", {"section_cm": 20, "overall_cm": 54, "rim_in": 13, **R}),
    ("245/575-13", {"section_mm": 245, "overall_mm": 575, "rim_in": 13}),
    ("230/570-13", {"section_mm": 230, "overall_mm": 570, "rim_in": 13}),
    ("245/645 R 18", {"section_mm": 245, "overall_mm": 645, "rim_in": 18, **R}),
    ("9.0/20.0-13", {"section_in": 9, "overall_in": 20, "rim_in": 13}),
    ("10.5/23.0-15", {"section_in": 10.5, "overall_in": 23, "rim_in": 15}),
    ("9.25/20.0-13", {"section_in": 9.25, "overall_in": 20, "rim_in": 13}),
    ("4.50/11.60-15", {"rim_in": 15}),
    ("4.75/10.00-15", {"rim_in": 15}),
]


@pytest.mark.parametrize(("text", "says"), [*METRIC, *INCH, *OTHER], ids=lambda v: str(v)[:24])
def test_a_designation_says_this_and_nothing_else(text, says):
    read = read_size(text).as_dict()
    family = read.pop("family")
    assert read == {**dict.fromkeys(KEYS[:-1]), "suffixes": [], "canonical": text, **says}
    assert family


def test_the_keys_and_their_order_are_fixed():
    assert list(read_size("165 R 15").as_dict()) == KEYS


@pytest.mark.parametrize(
    ("text", "family"),
    [
        ("185/70 R 15", "metric with profile"),
        ("165 R 15", "metric without profile"),
        ("155-15", "metric dash"),
        ("165 R 400", "millimetre rim"),
        ("5.60-15", "inch"),
        ("6.5-13", "inch ultra-low"),
        ("5.50 L 15", "inch with series letter"),
        ("FR70-14", "letter size"),
        ("31x10.50 R 15 LT", "flotation"),
        ("820x120", "beaded edge"),
        ("33x5", "straight side"),
        ("30x3½", "beaded edge or straight side"),
        ("20/54-13", "competition cm"),
        ("245/575-13", "competition mm"),
        ("9.0/20.0-13", "competition inch"),
        ("4.50/11.60-15", "competition inch, diameter not stated"),
        ("185-14/7.35-14", "metric dash"),
        ("6.40/6.50-13", "inch"),
    ],
)
def test_the_family_is_named(text, family):
    assert read_size(text).family == family


def test_whole_numbers_are_whole():
    read = read_size("6.00-16").as_dict()
    assert [type(read[k]) for k in ("width_in", "rim_in")] == [int, int]
    assert type(read_size("8.75-16.5").as_dict()["rim_in"]) is float
