"""Addresses of pages that show a status, a survey, criteria or instruments."""

from django.urls import URLPattern, URLResolver, path

from surveys.views import hood, lists, room, stops

app_name = "surveys"

reading: list[URLPattern | URLResolver] = [
    path("rooms/", lists.room_list, name="room_list"),
    path("rooms/<int:pk>/", room.room, name="room"),
    path("buildings/<int:pk>/", lists.building, name="building"),
    path("hoods/", lists.hood_list, name="hood_list"),
    path("hoods/<int:pk>/", hood.hood, name="hood"),
    path("hoods/<int:pk>/stops/", stops.post_stop, name="post_stop"),
    path("stops/<int:pk>/hung/", stops.hang_sign, name="hang_sign"),
    path("stops/<int:pk>/withdraw/", stops.withdraw_stop, name="withdraw_stop"),
    path("due/", lists.due_list, name="due_list"),
    path("find/", lists.find, name="find"),
]

urlpatterns: list[URLPattern | URLResolver] = [*reading]
