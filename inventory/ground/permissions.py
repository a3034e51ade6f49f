"""Who may do what over the API: by role, through the model permissions that the role holds."""

from __future__ import annotations

from typing import Any

from rest_framework.permissions import DjangoModelPermissions
from rest_framework.request import Request


class MayByModel(DjangoModelPermissions):
    """Signed in, and holding the model's permission; reading needs the view permission too.

    A view that is not about one model says what it needs: `required_permissions`, from method to
    permission names, such as `{"GET": ["inventory.view_sku"]}`. What is not named is not allowed.
    """

    perms_map = {
        **DjangoModelPermissions.perms_map,
        "GET": ["%(app_label)s.view_%(model_name)s"],
        "HEAD": ["%(app_label)s.view_%(model_name)s"],
        "OPTIONS": ["%(app_label)s.view_%(model_name)s"],
    }

    def has_permission(self, request: Request, view: Any) -> bool:
        needed = getattr(view, "required_permissions", None)
        if needed is None:
            return super().has_permission(request, view)
        wanted = needed.get("GET" if request.method in {"HEAD", "OPTIONS"} else request.method)
        user = request.user
        return bool(
            user and user.is_authenticated and wanted is not None and user.has_perms(wanted)
        )
