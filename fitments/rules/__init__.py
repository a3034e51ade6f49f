"""What decides whether a tyre suits a place on a car: one rule a file, pure, each with its reason.

``values`` holds what is judged and what is said of it, ``registry`` lists the rules, ``weight``
says what a finding counts for by market and use. ``fitments.verdict`` puts them together.
"""
