"""What a tyre can be, in the words of the catalogue; each value is the code that is stored."""

from __future__ import annotations

from enum import StrEnum


class TyreUse(StrEnum):
    ROAD = "road"
    ROAD_AND_TRACK = "road_and_track"
    COMPETITION = "competition"


class Weather(StrEnum):
    ANY = "any"
    DRY = "dry"
    INTERMEDIATE = "intermediate"
    WET = "wet"
    WINTER = "winter"


class Tread(StrEnum):
    SYMMETRIC = "symmetric"
    DIRECTIONAL = "directional"
    ASYMMETRIC = "asymmetric"


class Shoulder(StrEnum):
    UNKNOWN = ""
    ROUNDED = "rounded"
    SQUARE = "square"


class TubeType(StrEnum):
    UNKNOWN = ""
    TUBE_TYPE = "tube_type"
    TUBELESS = "tubeless"
    NO_TUBE = "no_tube"


class Hand(StrEnum):
    NONE = ""
    LEFT = "left"
    RIGHT = "right"


class Sidewall(StrEnum):
    BLACK = "black"
    WHITE_BAND = "white_band"
    RED_LINE = "red_line"
    RAISED_LETTERS = "raised_letters"


class Status(StrEnum):
    ANNOUNCED = "announced"
    CURRENT = "current"
    LAST_STOCK = "last_stock"
    DISCONTINUED = "discontinued"


class Condition(StrEnum):
    NEW = "new"
    FITTED = "fitted"
    TAKE_OFF = "take_off"
    PART_WORN = "part_worn"
    BUFFED = "buffed"
    HAND_CUT = "hand_cut"
    DISPLAY = "display"
