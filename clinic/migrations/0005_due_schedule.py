"""The due schedule knows retraining after an event, and how long a long hospital stay is."""

from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("clinic", "0004_nurse_record")]

    operations = [
        migrations.AddField("clinictext", "long_stay_days", models.PositiveIntegerField(default=14)),
        migrations.AddField("clinictext", "retraining_days", models.PositiveIntegerField(default=14)),
    ]
