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
}
