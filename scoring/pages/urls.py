"""Where each path leads."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
