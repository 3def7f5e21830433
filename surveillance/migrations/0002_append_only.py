"""Let the database refuse changes of audit events and frozen snapshots."""

from django.db import migrations
from django.db.backends.base.schema import BaseDatabaseSchemaEditor
from django.db.migrations.state import StateApps

from surveillance import append_only


def _install(apps: StateApps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    append_only.install(schema_editor.connection)


def _remove(apps: StateApps, schema_editor: BaseDatabaseSchemaEditor) -> None:
    append_only.remove(schema_editor.connection)


class Migration(migrations.Migration):
    # On SQLite a later change of one of these tables rebuilds it without its triggers:
    # such a migration has to be followed by one that removes and installs them again.
    dependencies = [("clinic", "0001_initial"), ("surveillance", "0001_initial")]

    operations = [migrations.RunPython(_install, _remove)]
