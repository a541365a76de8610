"""Addresses of what is printed."""

from django.urls import URLPattern, URLResolver, path

from reports.views import bulk, labels, prints

app_name = "reports"

urlpatterns: list[URLPattern | URLResolver] = [
    path("surveys/<uuid:id>/certificate.pdf", prints.certificate, name="certificate"),
    path("hoods/<int:pk>/label.pdf", prints.label, name="label"),
    path("hoods/<int:pk>/do-not-use.pdf", prints.stop_sign, name="stop_sign"),
    path("certificates.pdf", bulk.certificates, name="certificates"),
    path("labels/", labels.labels, name="labels"),
    path("labels/outline.pdf", labels.outline, name="label_outline"),
]
