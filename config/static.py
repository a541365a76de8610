"""Static files as they are served: each under a name that holds its hash, and the modules of a script by such names too."""

from __future__ import annotations

from whitenoise.storage import CompressedManifestStaticFilesStorage


class HashedStaticFiles(CompressedManifestStaticFilesStorage):
    """With imports that are left as written a browser loads a module twice, and a page saves its draft against itself."""

    support_js_module_import_aggregation = True
