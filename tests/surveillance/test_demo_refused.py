"""The demonstration never goes into a real record."""

from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from clinic.models import Clinic
from tests.factories import make_clinic


@pytest.mark.django_db
def test_it_never_goes_into_a_real_record(settings, tmp_path) -> None:
    settings.DATA_DIR, settings.STATIC_ROOT = tmp_path, tmp_path / "static"
    make_clinic("XX", name="A real clinic")
    with pytest.raises(CommandError, match="holds a real record") as refused:
        call_command("demo", no_serve=True, stderr=StringIO())
    assert refused.value.returncode == 2
    assert list(Clinic.objects.values_list("code", flat=True)) == ["XX"]
