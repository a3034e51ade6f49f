"""Pages of the API: by cursor, so that rows added meanwhile neither repeat nor hide others."""

from __future__ import annotations

from rest_framework.pagination import CursorPagination


class CursorPages(CursorPagination):
    """Fifty rows a page, a hundred at most (`?page_size=`); newest first unless a view differs."""

    page_size = 50
    page_size_query_param = "page_size"
    max_page_size = 100
    ordering = "-pk"
