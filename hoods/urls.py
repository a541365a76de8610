"""Addresses of the inventory, the site and its people."""

from django.urls import path

from hoods.views import hood, inventory_list, life, people, site

app_name = "hoods"

urlpatterns = [
    path("site/", site.site, name="site"),
    path("site/change/", site.change_site, name="change_site"),
    path("buildings/add/", site.add_building, name="add_building"),
    path("buildings/<int:pk>/change/", site.change_building, name="change_building"),
    path("rooms/add/", site.add_room, name="add_room"),
    path("rooms/<int:pk>/change/", site.change_room, name="change_room"),
    path("exhausts/add/", site.add_exhaust, name="add_exhaust"),
    path("exhausts/<int:pk>/change/", site.change_exhaust, name="change_exhaust"),
    path("inventory/", hood.inventory, name="inventory"),
    path("inventory/import/", inventory_list.import_list, name="import_list"),
    path("inventory/import/<str:token>/", inventory_list.import_shown, name="import_shown"),
    path("hoods/add/", hood.add_hood, name="add_hood"),
    path("hoods/<int:pk>/inventory/", hood.hood_inventory, name="hood_inventory"),
    path("hoods/<int:pk>/change/", hood.change_hood, name="change_hood"),
    path("hoods/<int:pk>/code/", hood.replace_code, name="replace_code"),
    path("hoods/<int:pk>/move/", hood.move_hood, name="move_hood"),
    path("hoods/<int:pk>/place/", hood.shift_hood, name="shift_hood"),
    path("hoods/<int:pk>/retire/", life.retire_hood, name="retire_hood"),
    path("hoods/<int:pk>/hibernate/", life.hibernate_hood, name="hibernate_hood"),
    path("hoods/<int:pk>/wake/", life.wake_hood, name="wake_hood"),
    path("hoods/<int:pk>/out-of-service/", life.take_out_of_service, name="take_out_of_service"),
    path("hoods/<int:pk>/back/", life.bring_back, name="bring_back"),
    path("hoods/<int:pk>/openings/add/", life.add_opening, name="add_opening"),
    path("openings/<int:pk>/change/", life.change_opening, name="change_opening"),
    path("people/", people.people, name="people"),
    path("people/invite/", people.invite, name="invite"),
    path("people/<int:pk>/", people.person, name="person"),
    path("people/<int:pk>/change/", people.change_person, name="change_person"),
    path("people/<int:pk>/link/", people.renew_link, name="renew_link"),
    path("people/<int:pk>/roles/give/", people.give_role, name="give_role"),
    path("people/<int:pk>/disable/", people.disable_person, name="disable_person"),
    path("people/<int:pk>/enable/", people.enable_person, name="enable_person"),
    path("roles/<int:pk>/end/", people.end_role, name="end_role"),
]
