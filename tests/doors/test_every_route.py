"""No route without a row: a new path, or a new method of one, fails here until it is judged."""

from collections.abc import Iterator

from django.urls import URLPattern, URLResolver, get_resolver

from api.base import ApiView
from tests.doors import matrix


def routes(resolver: URLResolver) -> Iterator[URLPattern]:
    """Every pattern of a URLconf."""
    return (pattern for _, pattern in named_routes(resolver))


def named_routes(resolver: URLResolver, space: str = "") -> Iterator[tuple[str, URLPattern]]:
    """Every pattern of a URLconf with its name, its namespace before it."""
    for each in resolver.url_patterns:
        if isinstance(each, URLResolver):
            inner = f"{space}{each.namespace}:" if each.namespace else space
            yield from named_routes(each, inner)
        else:
            yield f"{space}{each.name}", each


def test_every_route_has_a_name_and_a_row() -> None:
    named = {row.name for row in (*matrix.API, *matrix.PAGES)}
    missing = [name for name, _ in named_routes(get_resolver()) if name not in named]
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
    known = {name for name, _ in named_routes(get_resolver())}
    assert {row.name for row in (*matrix.API, *matrix.PAGES)} <= known
