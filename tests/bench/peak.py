"""One page in a process of its own: the time that it takes, and the memory at its peak. `python -m tests.bench.peak ADDRESS`."""

from __future__ import annotations

import json
import os
import resource
import sys
from pathlib import Path
from time import process_time
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from django.test import Client

STATUS = Path("/proc/self/status")  # where Linux tells the peak; its getrusage begins with that of the parent


def measured(address: str) -> dict[str, float]:
    from django.test import Client

    from hoods.models import Person

    client = Client()
    client.force_login(Person.objects.get(email="ines@skua.example"))
    client.get("/password/")
    fetch(client, address)  # what is loaded once is no time of a hood
    begun = process_time()
    size = fetch(client, address)
    seconds = process_time() - begun
    return {"seconds": seconds, "megabytes": peak_kilobytes() // 1024, "bytes": size}


def fetch(client: Client, address: str) -> int:
    response = client.get(address)
    assert response.status_code == 200, response.status_code
    return sum(map(len, response.streaming_content)) if response.streaming else len(response.content)


def peak_kilobytes() -> int:
    if STATUS.exists():
        return next(int(line.split()[1]) for line in STATUS.read_text().splitlines() if line.startswith("VmHWM"))
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // (1024 if sys.platform == "darwin" else 1)


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")
    import django
    from django.conf import settings

    django.setup()
    settings.ALLOWED_HOSTS = ["testserver"]
    settings.STORAGES["staticfiles"] = {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}
    print(json.dumps(measured(sys.argv[1])))
