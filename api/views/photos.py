"""Photos: kept once, described, and shown to whoever may know of the horse."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse
from rest_framework.request import Request
from rest_framework.response import Response

from api import creating, multipart
from api.base import ApiView
from api.present import photos as present
from api.schema import describe
from api.schema.photos import PhotoIn, PhotoShape
from scoring.access import photos as doors
from scoring.actions import photos as actions
from scoring.queries import photos
from yards.rules.roles import Verb

JPEG = "image/jpeg"


class PhotosView(ApiView):
    """What was photographed."""

    verb = Verb.RECORD_READINGS
    max_body = "API_MAX_PHOTO_BODY"

    def read(self, request: HttpRequest, limit: int) -> Mapping[str, Any]:
        """Return the form that was sent, with the image as bytes."""
        return multipart.read(request, limit)

    @describe.makes(
        "keep_photo", PhotoIn, PhotoShape, summary="Keep a photo", media=multipart.MEDIA_TYPE
    )
    def post(self, request: Request) -> Response:
        """Keep one, drawn anew without its metadata. Send it again until it is answered."""
        made = actions.keep_photo(self.viewer, self.raw, now=self.now)
        return creating.response(present.photo(made), replayed=made.replayed)


class PhotoView(ApiView):
    """One photo, described."""

    verb = Verb.READ_OWN_READINGS
    finder = doors.photo_for_read
    kind = "photo"

    @describe.gets("get_photo", PhotoShape, summary="One photo, without its image")
    def get(self, request: Request, id: UUID) -> Response:
        """Return what it is of, when it was taken, and the digest of what was sent."""
        return Response(present.photo(photos.get_photo(self.viewer, id)))


class PhotoImageView(ApiView):
    """One photo, as a picture."""

    verb = Verb.READ_OWN_READINGS
    finder = doors.photo_for_read
    kind = "photo"

    @describe.serves("get_photo_image", JPEG, summary="The image of a photo")
    def get(self, request: Request, id: UUID) -> HttpResponse:
        """Return the JPEG. No cache may keep it: who may see it is asked each time."""
        self.headers["Cache-Control"] = "private, no-store"
        response = HttpResponse(photos.get_image(self.viewer, id), content_type=JPEG)
        response["Content-Disposition"] = f'inline; filename="{id}.jpg"'
        response["Cross-Origin-Resource-Policy"] = "same-origin"
        return response
