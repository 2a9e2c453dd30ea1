"""Starting the shop loads no heavy library: the first page must come at once."""

import subprocess
import sys

HEAVY = ("scipy", "ortools", "numpy", "typst", "pandas")


def test_setting_up_the_shop_and_its_urls_loads_no_heavy_library(tmp_path):
    code = (
        "import os, sys, django; django.setup(); import witnessmark.web.urls;"
        f"print([name for name in {HEAVY!r} if name in sys.modules])"
    )

    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        env={
            "WITNESSMARK_HOME": str(tmp_path),
            "DJANGO_SETTINGS_MODULE": "witnessmark.web.settings",
        },
    )

    assert done.stdout.strip() == "[]", done.stderr
