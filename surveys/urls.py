"""Addresses of pages that show a status, a survey, criteria or instruments."""

from django.urls import URLPattern, URLResolver, path

from surveys.views import (
    amendments,
    assigning,
    benchmark,
    certificates,
    criteria,
    criteria_compare,
    criteria_draft,
    earlier,
    earlier_import,
    figures,
    findings,
    hood,
    instruments,
    lists,
    notices,
    overdue,
    qualifications,
    room,
    room_signing,
    stops,
    survey,
    survey_aside,
    survey_review,
    survey_signed,
)

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
    path("certificates/", certificates.certificate_list, name="certificate_list"),
    path("mails/", notices.notice_list, name="notice_list"),
]

keeping: list[URLPattern | URLResolver] = [
    path("instruments/", instruments.instrument_list, name="instrument_list"),
    path("instruments/add/", instruments.add_instrument, name="add_instrument"),
    path("instruments/<int:pk>/", instruments.instrument, name="instrument"),
    path("instruments/<int:pk>/change/", instruments.change_instrument, name="change_instrument"),
    path("instruments/<int:pk>/retire/", instruments.retire_instrument, name="retire_instrument"),
    path("instruments/<int:pk>/calibrations/add/", instruments.record_calibration, name="record_calibration"),
    path("criteria/", criteria.criteria_list, name="criteria_list"),
    path("criteria/assign/", assigning.assign_criteria, name="assign_criteria"),
    path("criteria/starters/<slug:code>/", criteria.starter, name="starter"),
    path("criteria/sets/<int:pk>/", criteria.criteria_set, name="criteria_set"),
    path("criteria/sets/<int:pk>/versions/add/", criteria.start_version, name="start_version"),
    path("criteria/<int:pk>/", criteria.criteria_version, name="criteria_version"),
    path("criteria/<int:pk>/checks/", criteria.settle_checks, name="settle_checks"),
    path("criteria/<int:pk>/change/", criteria_draft.change_draft, name="change_draft"),
    path("criteria/<int:pk>/compare/", criteria_compare.compare_version, name="compare_version"),
    path("criteria/<int:pk>/adopt/", criteria.adopt_version, name="adopt_version"),
    path("criteria/sets/add/", criteria.start_empty_set, name="start_empty_set"),
    path("figures/", figures.figure_list, name="figure_list"),
    path("hoods/<int:pk>/benchmarks/", benchmark.benchmark_list, name="benchmark_list"),
    path("hoods/<int:pk>/benchmarks/add/", benchmark.add_benchmark, name="add_benchmark"),
]

surveying: list[URLPattern | URLResolver] = [
    path("surveys/start/", survey.start, name="start"),
    path("surveys/<uuid:id>/", survey.detail, name="detail"),
    path("surveys/<uuid:id>/review/", survey_review.review, name="review"),
    path("surveys/<uuid:id>/sign/", survey_review.sign, name="sign"),
    path("surveys/<uuid:id>/set-aside/<int:pk>/", survey_aside.set_aside, name="set_aside"),
    path("surveys/<uuid:id>/sign-taken-down/", survey_signed.sign_taken_down, name="sign_taken_down"),
    path("surveys/<uuid:id>/label-put-on/", survey_signed.label_put_on, name="label_put_on"),
]

following: list[URLPattern | URLResolver] = [
    path("findings/", findings.finding_list, name="finding_list"),
    path("findings/<int:pk>/", findings.finding, name="finding"),
    path("findings/<int:pk>/arrange/", findings.arrange_finding, name="arrange_finding"),
    path("findings/<int:pk>/close/", findings.close_finding, name="close_finding"),
    path("rooms/<int:pk>/sign/", room_signing.sign_room, name="sign_room"),
    path("surveys/<uuid:id>/amend/", amendments.amend, name="amend"),
    path("hoods/<int:pk>/overdue/", overdue.explain_overdue, name="explain_overdue"),
    path("people/<int:pk>/qualifications/add/", qualifications.add_qualification, name="add_qualification"),
]

before: list[URLPattern | URLResolver] = [
    path("earlier/", earlier.earlier_list, name="earlier_list"),
    path("earlier/import/", earlier_import.import_results, name="import_results"),
    path("earlier/import/<str:token>/", earlier_import.results_shown, name="results_shown"),
    path("earlier/<int:pk>/", earlier.earlier, name="earlier"),
    path("earlier/<int:pk>/accept/", earlier.accept_results, name="accept_results"),
    path("earlier/<int:pk>/withdraw/", earlier.withdraw_results, name="withdraw_results"),
    path("earlier/<int:pk>/strike/", earlier.strike_results, name="strike_results"),
]

urlpatterns: list[URLPattern | URLResolver] = [*keeping, *reading, *surveying, *following, *before]
