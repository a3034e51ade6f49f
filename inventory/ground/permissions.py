"""Who may do what over the API: by role, through the model permissions that the role holds."""

from __future__ import annotations

from rest_framework.permissions import DjangoModelPermissions


class MayByModel(DjangoModelPermissions):
    """Signed in, and holding the model's permission; reading needs the view permission too.

    A view without a queryset says what it needs in `required_permissions`, a mapping of
    method to permission names; without either, nobody gets in.
    """

    perms_map = {
        **DjangoModelPermissions.perms_map,
        "GET": ["%(app_label)s.view_%(model_name)s"],
        "HEAD": ["%(app_label)s.view_%(model_name)s"],
        "OPTIONS": ["%(app_label)s.view_%(model_name)s"],
    }
