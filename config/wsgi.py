"""The application that gunicorn serves: `gunicorn config.wsgi`."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")

application = get_wsgi_application()

from django.db import connections  # noqa: E402

from config.checks import refuse_unless_fit  # noqa: E402

refuse_unless_fit()
connections.close_all()  # each worker opens its own
