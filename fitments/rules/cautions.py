"""What stands on every page that says what fits."""

FITTING = (
    "Fitting, tubes, pressures and speed are for a qualified fitter, the car maker's and the tyre "
    "maker's handbooks and the law of the place. What is said here is what is on record; it does "
    "not replace looking at the car, the wheel and the tyre."
)
PRESSURE = (
    "A pressure is shown only with its source and is never computed. Set it cold, and go by the "
    "handbook for the load and speed to be driven."
)
NOT_STATED = (
    "Nothing is said here of roadworthiness, insurance, or the state of the wheel, the suspension "
    "or the brakes."
)
ALL = (FITTING, PRESSURE, NOT_STATED)
