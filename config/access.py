"""Who may do what, in one table: view name × method -> roles. What the table lacks is refused."""

TECHNICIAN, LAB_MANAGER, AUDITOR, PROGRAMME_MANAGER = "technician", "lab-manager", "auditor", "programme-manager"
ROLES = (TECHNICIAN, LAB_MANAGER, AUDITOR, PROGRAMME_MANAGER)

T, L, A, P = TECHNICIAN, LAB_MANAGER, AUDITOR, PROGRAMME_MANAGER
PUBLIC = frozenset({"public"})  # no sign-in
ANY = frozenset({"any"})  # anyone signed in, with or without a role

Roles = frozenset[str]


def roles(*names: str) -> Roles:
    return frozenset(names)


ACCESS: dict[str, dict[str, Roles]] = {
    "account_login": {"GET": PUBLIC, "POST": PUBLIC},
    "account_logout": {"GET": ANY, "POST": ANY},
    "account_change_password": {"GET": ANY, "POST": ANY},
    "set_password": {"GET": PUBLIC, "POST": PUBLIC},
    "choose_site": {"POST": ANY},
    # What is read: what next, rooms, hoods, what is due; and what a stranger sees behind a label
    "home": {"GET": ANY},
    "public_hood": {"GET": PUBLIC},
    "public_label": {"GET": PUBLIC},
    "surveys:room_list": {"GET": roles(*ROLES)},
    "surveys:room": {"GET": roles(*ROLES)},
    "surveys:building": {"GET": roles(*ROLES)},
    "surveys:hood_list": {"GET": roles(*ROLES)},
    "surveys:hood": {"GET": roles(*ROLES)},
    "surveys:due_list": {"GET": roles(*ROLES)},
    "surveys:find": {"GET": roles(*ROLES)},
    "surveys:certificate_list": {"GET": roles(*ROLES)},
    "surveys:notice_list": {"GET": roles(P)},
    # 'Do not use': posted by who surveys, and by a lab manager in their rooms; withdrawn by the programme manager
    "surveys:post_stop": {"GET": roles(T, L), "POST": roles(T, L)},
    "surveys:hang_sign": {"POST": roles(T, L, P)},
    "surveys:withdraw_stop": {"GET": roles(P), "POST": roles(P)},
    # The site, its places and its hoods: programme managers keep them, technicians add openings
    "hoods:site": {"GET": roles(T, A, P)},
    "hoods:change_site": {"GET": roles(P), "POST": roles(P)},
    "hoods:add_building": {"GET": roles(P), "POST": roles(P)},
    "hoods:change_building": {"GET": roles(P), "POST": roles(P)},
    "hoods:add_room": {"GET": roles(P), "POST": roles(P)},
    "hoods:change_room": {"GET": roles(P), "POST": roles(P)},
    "hoods:add_exhaust": {"GET": roles(P), "POST": roles(P)},
    "hoods:change_exhaust": {"GET": roles(P), "POST": roles(P)},
    "hoods:inventory": {"GET": roles(*ROLES)},
    "hoods:import_list": {"GET": roles(P), "POST": roles(P)},
    "hoods:import_shown": {"GET": roles(P), "POST": roles(P)},
    "hoods:hood_inventory": {"GET": roles(*ROLES)},
    "hoods:add_hood": {"GET": roles(P), "POST": roles(P)},
    "hoods:change_hood": {"GET": roles(P), "POST": roles(P)},
    "hoods:replace_code": {"GET": roles(P), "POST": roles(P)},
    "hoods:move_hood": {"GET": roles(P), "POST": roles(P)},
    "hoods:shift_hood": {"GET": roles(P), "POST": roles(P)},
    "hoods:retire_hood": {"GET": roles(P), "POST": roles(P)},
    "hoods:hibernate_hood": {"GET": roles(P), "POST": roles(P)},
    "hoods:wake_hood": {"GET": roles(P), "POST": roles(P)},
    "hoods:take_out_of_service": {"GET": roles(P), "POST": roles(P)},
    "hoods:bring_back": {"GET": roles(P), "POST": roles(P)},
    "hoods:add_opening": {"GET": roles(T, P), "POST": roles(T, P)},
    "hoods:change_opening": {"GET": roles(P), "POST": roles(P)},
    # People and their roles
    "hoods:people": {"GET": roles(P)},
    "hoods:invite": {"GET": roles(P), "POST": roles(P)},
    "hoods:person": {"GET": roles(P)},
    "hoods:change_person": {"GET": roles(P), "POST": roles(P)},
    "hoods:renew_link": {"GET": roles(P), "POST": roles(P)},
    "hoods:give_role": {"GET": roles(P), "POST": roles(P)},
    "hoods:end_role": {"GET": roles(P), "POST": roles(P)},
    "hoods:disable_person": {"GET": roles(P), "POST": roles(P)},
    "hoods:enable_person": {"GET": roles(P), "POST": roles(P)},
    # Instruments and criteria: programme managers keep them
    "surveys:instrument_list": {"GET": roles(T, A, P)},
    "surveys:instrument": {"GET": roles(T, A, P)},
    "surveys:add_instrument": {"GET": roles(P), "POST": roles(P)},
    "surveys:change_instrument": {"GET": roles(P), "POST": roles(P)},
    "surveys:retire_instrument": {"GET": roles(P), "POST": roles(P)},
    "surveys:record_calibration": {"GET": roles(P), "POST": roles(P)},
    "surveys:criteria_list": {"GET": roles(*ROLES)},
    "surveys:criteria_set": {"GET": roles(*ROLES)},
    "surveys:criteria_version": {"GET": roles(*ROLES)},
    "surveys:starter": {"GET": roles(P), "POST": roles(P)},
    "surveys:settle_checks": {"GET": roles(P), "POST": roles(P)},
    "surveys:adopt_version": {"GET": roles(P), "POST": roles(P)},
    "surveys:change_draft": {"GET": roles(P), "POST": roles(P)},
    "surveys:compare_version": {"GET": roles(*ROLES)},
    "surveys:start_empty_set": {"GET": roles(P), "POST": roles(P)},
    "surveys:figure_list": {"GET": roles(*ROLES)},
    "surveys:benchmark_list": {"GET": roles(*ROLES)},
    "surveys:add_benchmark": {"GET": roles(P), "POST": roles(P)},
    "surveys:start_version": {"GET": roles(P), "POST": roles(P)},
    "surveys:assign_criteria": {"GET": roles(P), "POST": roles(P)},
    # The survey: technicians make, sign and label it; whoever sees the hood reads it
    "surveys:start": {"GET": roles(T), "POST": roles(T)},
    "surveys:detail": {"GET": roles(*ROLES), "POST": roles(T)},
    "surveys:review": {"GET": roles(*ROLES)},
    "surveys:sign": {"GET": roles(T), "POST": roles(T)},
    "surveys:set_aside": {"GET": roles(T), "POST": roles(T)},
    "surveys:sign_taken_down": {"POST": roles(T)},
    "surveys:label_put_on": {"GET": roles(T), "POST": roles(T)},
    # What follows: findings are read by whoever sees the hood, arranged and closed by who surveys and who manages; one
    # signature for a room; an amendment of one's own survey, or of another's when the programme manager starts it
    "surveys:finding_list": {"GET": roles(*ROLES)},
    "surveys:finding": {"GET": roles(*ROLES)},
    "surveys:arrange_finding": {"GET": roles(T, P), "POST": roles(T, P)},
    "surveys:close_finding": {"GET": roles(T, P), "POST": roles(T, P)},
    "surveys:sign_room": {"GET": roles(T), "POST": roles(T)},
    "surveys:amend": {"GET": roles(T, P), "POST": roles(T, P)},
    "surveys:explain_overdue": {"GET": roles(T, P), "POST": roles(T, P)},
    "surveys:add_qualification": {"GET": roles(P), "POST": roles(P)},
    # Results from earlier records: read by who sees the whole site, brought in and decided on by the programme manager
    "surveys:earlier_list": {"GET": roles(T, A, P)},
    "surveys:earlier": {"GET": roles(T, A, P)},
    "surveys:import_results": {"GET": roles(P), "POST": roles(P)},
    "surveys:results_shown": {"GET": roles(P), "POST": roles(P)},
    "surveys:accept_results": {"GET": roles(P), "POST": roles(P)},
    "surveys:withdraw_results": {"GET": roles(P), "POST": roles(P)},
    "surveys:strike_results": {"GET": roles(P), "POST": roles(P)},
    "reports:earlier_template": {"GET": roles(P)},
    "reports:earlier_template_book": {"GET": roles(P)},
    # Prints: whoever sees the hood has its certificates; technicians and programme managers print labels
    "reports:certificate": {"GET": roles(*ROLES)},
    "reports:certificates": {"GET": roles(*ROLES)},
    "reports:label": {"GET": roles(T, P), "POST": roles(T, P)},
    "reports:labels": {"GET": roles(T, P), "POST": roles(T, P)},
    "reports:label_outline": {"GET": roles(T, P)},
    "reports:stop_sign": {"GET": roles(T, L, P)},
    "reports:canopy_sign": {"GET": roles(T, L, P)},
    "reports:hood_blank": {"GET": roles(T, P)},
    "reports:room_blank": {"GET": roles(T, P)},
    # The averages of a hood over the years: whoever sees the hood
    "reports:trend_drawing": {"GET": roles(*ROLES)},
    "reports:trend_print": {"GET": roles(*ROLES)},
    # The inventory as a list: whoever has a role takes away the hoods that they see
    "reports:inventory": {"GET": roles(*ROLES)},
    "reports:inventory_book": {"GET": roles(*ROLES)},
    "reports:inventory_template": {"GET": roles(P)},
    "reports:inventory_template_book": {"GET": roles(P)},
    # The year and what it takes with it: whoever has a role, each of the hoods that they see
    "reports:year": {"GET": roles(*ROLES)},
    "reports:year_report": {"GET": roles(*ROLES)},
    "reports:year_months": {"GET": roles(*ROLES)},
    "reports:year_buildings": {"GET": roles(*ROLES)},
    "reports:year_averages": {"GET": roles(*ROLES)},
    "reports:year_table": {"GET": roles(*ROLES)},
    "reports:year_archive": {"GET": roles(*ROLES)},
    "reports:year_book": {"GET": roles(*ROLES)},
}
