"""Addresses of what is printed."""

from django.urls import URLPattern, URLResolver, path

from reports.views import blank, bulk, earlier_list, hood_list, labels, prints, trend, year

app_name = "reports"

urlpatterns: list[URLPattern | URLResolver] = [
    path("surveys/<uuid:id>/certificate.pdf", prints.certificate, name="certificate"),
    path("hoods/<int:pk>/label.pdf", prints.label, name="label"),
    path("hoods/<int:pk>/do-not-use.pdf", prints.stop_sign, name="stop_sign"),
    path("hoods/<int:pk>/not-for-hazardous-vapours.pdf", prints.canopy_sign, name="canopy_sign"),
    path("hoods/<int:pk>/blank-form.pdf", blank.hood_blank, name="hood_blank"),
    path("rooms/<int:pk>/blank-forms.pdf", blank.room_blank, name="room_blank"),
    path("certificates.pdf", bulk.certificates, name="certificates"),
    path("labels/", labels.labels, name="labels"),
    path("hoods/<int:pk>/trend.svg", trend.trend_drawing, name="trend_drawing"),
    path("hoods/<int:pk>/trend.pdf", trend.trend_print, name="trend_print"),
    path("year/", year.year, name="year"),
    path("year/report.pdf", year.report, name="year_report"),
    path("year/by-month.svg", year.by_month, name="year_months"),
    path("year/by-building.svg", year.by_building, name="year_buildings"),
    path("year/averages.svg", year.averages, name="year_averages"),
    path("year/table.csv", year.table, name="year_table"),
    path("year/tables.zip", year.archive, name="year_archive"),
    path("year/tables.xlsx", year.book, name="year_book"),
    path("inventory/hoods.csv", hood_list.hood_list, {"ending": "csv"}, name="inventory"),
    path("inventory/hoods.xlsx", hood_list.hood_list, {"ending": "xlsx"}, name="inventory_book"),
    path("inventory/empty.csv", hood_list.template, {"ending": "csv"}, name="inventory_template"),
    path("inventory/empty.xlsx", hood_list.template, {"ending": "xlsx"}, name="inventory_template_book"),
    path("earlier/empty.csv", earlier_list.template, {"ending": "csv"}, name="earlier_template"),
    path("earlier/empty.xlsx", earlier_list.template, {"ending": "xlsx"}, name="earlier_template_book"),
    path("labels/outline.pdf", labels.outline, name="label_outline"),
]
