"""No route without a row: a new path, or a new method of one, fails here until it is judged."""

from collections.abc import Iterator

from django.urls import URLPattern, URLResolver, get_resolver

from api.base import ApiView
from tests.doors import matrix


def routes(resolver: URLResolver) -> Iterator[URLPattern]:
    """Every pattern of a URLconf."""
    for each in resolver.url_patterns:
        if isinstance(each, URLResolver):
            yield from routes(each)
        else:
            yield each


def test_every_route_has_a_name_and_a_row() -> None:
    named = {row.name for row in (*matrix.API, *matrix.PAGES)}
    missing = [str(each.pattern) for each in routes(get_resolver()) if each.name not in named]
    assert not missing


def test_every_method_of_the_rest_surface_has_a_row() -> None:
    judged = {(row.method, row.name) for row in matrix.API}
    offered = {
        (method.upper(), each.name)
        for each in routes(get_resolver())
        if issubclass(view := getattr(each.callback, "cls", object), ApiView)
        for method in ("get", "post", "patch")
        if hasattr(view, method)
    }
    assert not offered - judged
    assert not {
        pair
        for pair in judged - offered
        if pair[1] not in {"api_schema", "api_docs", "api_unknown"}
    }


def test_no_row_is_left_over_from_a_route_that_went() -> None:
    known = {each.name for each in routes(get_resolver())}
    assert {row.name for row in (*matrix.API, *matrix.PAGES)} <= known
