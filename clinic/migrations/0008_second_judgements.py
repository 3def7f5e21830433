"""A second, blinded judgement of where an episode came from."""

import django.db.models.deletion
import uuid
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('clinic', '0007_decisions'),
    ]

    operations = [
        migrations.CreateModel(
            name='SecondJudgement',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('uid', models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ('asked_at', models.DateTimeField()),
                ('route', models.CharField(blank=True, default='', max_length=32)),
                ('certainty', models.CharField(blank=True, default='', max_length=32)),
                ('preventable', models.CharField(blank=True, default='', max_length=32)),
                ('judged_at', models.DateTimeField(blank=True, null=True)),
                ('asked_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('episode', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='second_judgement', to='clinic.peritonitis')),
                ('judge', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ('asked_at', 'pk'),
                'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('certainty', ''), ('judged_at', None), ('preventable', ''), ('route', '')), models.Q(('judged_at__isnull', False), ('route__in', ('intraluminal', 'connection', 'catheter', 'insertion', 'pre_pd', 'enteric', 'procedure', 'haematogenous', 'gynaecological', 'environmental', 'health_care', 'product', 'undetermined'))), _connector='OR'), name='second_judgement_whole'), models.CheckConstraint(condition=models.Q(('certainty__in', ('', 'confirmed', 'probable', 'possible')), ('preventable__in', ('', 'yes', 'partly', 'no'))), name='second_judgement_words'), models.CheckConstraint(condition=models.Q(('judge', models.F('asked_by')), _negated=True), name='second_judgement_by_another')],
            },
        ),
    ]
