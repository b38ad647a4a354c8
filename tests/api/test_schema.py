"""The published document: valid, complete, and read without a request leaving the host."""

import json
import re

from django.test import Client
from drf_spectacular import drainage
from drf_spectacular.settings import patched_settings

from api.schema import document
from tests.api import contract
from tests.oracles import openapi_spec_validator
from tests.outside import EXACT, outside


@outside(
    "the API's document is valid",
    source="OpenAPI Specification 3.1, as openapi-spec-validator reads it",
    status=EXACT,
)
def test_the_document_is_valid_openapi_3_1(database: str) -> None:
    response = Client().get("/api/schema/")
    assert response.status_code == 200
    served = json.loads(response.content)
    assert served["openapi"].startswith("3.1")
    openapi_spec_validator.validate(served, cls=openapi_spec_validator.OpenAPIV31SpecValidator)


def test_the_document_is_made_without_a_warning() -> None:
    drainage.reset_generator_stats()
    with patched_settings(document.SETTINGS):
        contract.generator().get_schema(request=None, public=True)
    assert not drainage.GENERATOR_STATS._warn_cache, drainage.GENERATOR_STATS._warn_cache
    assert not drainage.GENERATOR_STATS._error_cache, drainage.GENERATOR_STATS._error_cache


def test_every_write_says_what_it_takes_and_every_call_how_it_refuses() -> None:
    for path, operations in contract.published()["paths"].items():
        for method, operation in operations.items():
            assert operation["summary"], f"{method} {path}"
            assert {"400", "401", "403"} <= set(operation["responses"]), f"{method} {path}"
            if method != "get":
                # JSON, but for the one call that takes a file.
                takes = "multipart/form-data" if "/photos/" in path else "application/json"
                assert set(operation["requestBody"]["content"]) == {takes}, path
            if "{id}" in path:
                assert "404" in operation["responses"], f"{method} {path}"


def test_no_two_calls_share_a_name() -> None:
    names = [
        operation["operationId"]
        for operations in contract.published()["paths"].values()
        for operation in operations.values()
    ]
    assert len(names) == len(set(names))


def test_the_docs_load_only_what_is_ours(database: str) -> None:
    client = Client()
    page = client.get("/api/docs/")
    assert page.status_code == 200
    loaded = re.findall(r'(?:src|href)="([^"]+)"', page.content.decode())
    assert loaded
    assert all(each.startswith("/") and not each.startswith("//") for each in loaded)
    script = client.get("/api/docs/?script=")
    assert script["Content-Type"].startswith("application/javascript")
    assert "https://" not in script.content.decode()
    assert '"validatorUrl": null' in script.content.decode()


def test_only_the_docs_may_have_styles_of_their_own(database: str) -> None:
    docs = Client().get("/api/docs/")["Content-Security-Policy"]
    assert "style-src 'self' 'unsafe-inline'" in docs
    assert "script-src 'self';" in docs + ";"
    assert "unsafe-inline" not in Client().get("/api/schema/")["Content-Security-Policy"]
