from django.urls import URLPattern, URLResolver

app_name = "hoods"

urlpatterns: list[URLPattern | URLResolver] = []
