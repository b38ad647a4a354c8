"""The contract itself, and every path under /api/ that is not in it."""

from django.urls import path, re_path

from api.views.docs import DocsView, SchemaView
from api.views.unknown import UnknownPath

urlpatterns = [
    path("schema/", SchemaView.as_view(), name="api_schema"),
    path("docs/", DocsView.as_view(), name="api_docs"),
    re_path(r"^", UnknownPath.as_view(), name="api_unknown"),
]
