"""May these tyres leave for the car they were sold for? What despatch asks, answered by the rules.

Named in the settings as ``RELEASE``. What suits may leave; what does not, what is over age, and
what lost an approval since it was ordered leaves with the owner's word only. What promises ask of
the same register is in ``promising``, named as ``REGISTER``.
"""

from fitments.release import promising
from fitments.release.answering import may_leave

__all__ = ["may_leave", "promising"]
