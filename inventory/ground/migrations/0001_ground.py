"""What PostgreSQL brings along, the functions behind the rules, and the ground's tables.

The models as makemigrations writes them, one CreateModel each, with all that belongs to it.
"""

import django.db.models.deletion
import django.db.models.expressions
import django.db.models.functions.datetime
from django.conf import settings
from django.contrib.postgres.operations import (
    BtreeGistExtension,
    CITextExtension,
    TrigramExtension,
    UnaccentExtension,
)
from django.db import migrations, models

import inventory.ground.fields
from inventory.ground.append_only import DROP_FUNCTION, FUNCTION
from inventory.ground.tables import Tables

# unaccent() is only STABLE, since its dictionary could be changed; ours is named and never is,
# so that the result may be indexed.
PLAIN = """
CREATE FUNCTION unaccented(text) RETURNS text
    LANGUAGE sql IMMUTABLE STRICT PARALLEL SAFE
    RETURN public.unaccent('public.unaccent'::regdictionary, $1);
CREATE FUNCTION plain(text) RETURNS text
    LANGUAGE sql IMMUTABLE STRICT PARALLEL SAFE
    RETURN lower(public.unaccent('public.unaccent'::regdictionary, $1));
"""
NOT_PLAIN = "DROP FUNCTION plain(text); DROP FUNCTION unaccented(text);"


class Migration(migrations.Migration):
    initial = True
    replaces = [
        ("ground", "0001_extensions"),
        ("ground", "0002_append_only"),
        ("ground", "0003_idempotency_key"),
        ("ground", "0004_sheet_load"),
        ("ground", "0005_jobs"),
    ]
    dependencies = [
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]
    operations = [
        BtreeGistExtension(),
        CITextExtension(),
        TrigramExtension(),
        UnaccentExtension(),
        migrations.RunSQL(PLAIN, NOT_PLAIN),
        migrations.RunSQL(FUNCTION, DROP_FUNCTION),
        Tables([
            migrations.CreateModel(
                name='IdempotencyKey',
                fields=[
                    ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                    ('key', models.CharField(max_length=64, verbose_name='key')),
                    ('route', models.CharField(max_length=400, verbose_name='asked for')),
                    ('body', models.CharField(max_length=64, verbose_name='digest of what was sent')),
                    ('status', models.PositiveSmallIntegerField(null=True, verbose_name='answered with')),
                    ('answer', models.TextField(blank=True, default='', verbose_name='answer')),
                    ('location', models.CharField(blank=True, default='', max_length=400, verbose_name='leading to')),
                    ('received_at', models.DateTimeField(db_default=django.db.models.functions.datetime.Now(), verbose_name='received at')),
                    ('actor', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='+', to=settings.AUTH_USER_MODEL)),
                ],
                options={
                    'verbose_name': 'idempotency key',
                    'verbose_name_plural': 'idempotency keys',
                    'ordering': ('-pk',),
                    'indexes': [models.Index(fields=['received_at'], name='idempotency_key_received')],
                    'constraints': [models.UniqueConstraint(fields=('actor', 'key'), name='idempotency_key_once_per_actor', violation_error_message='This key was used already.')],
                },
            ),
            migrations.CreateModel(
                name='SheetLoad',
                fields=[
                    ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                    ('sheet', models.CharField(max_length=40, verbose_name='sheet')),
                    ('digest', models.CharField(max_length=64, verbose_name='digest of the file')),
                    ('once', models.BooleanField(default=False, verbose_name='only once')),
                    ('file_name', models.CharField(blank=True, default='', max_length=200, verbose_name='file')),
                    ('rows', models.PositiveIntegerField(default=0, verbose_name='rows')),
                    ('new', models.PositiveIntegerField(default=0, verbose_name='new')),
                    ('changed', models.PositiveIntegerField(default=0, verbose_name='changed')),
                    ('same', models.PositiveIntegerField(default=0, verbose_name='as before')),
                    ('loaded_at', models.DateTimeField(verbose_name='loaded at')),
                    ('loaded_by', models.ForeignKey(on_delete=django.db.models.deletion.RESTRICT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ],
                options={
                    'verbose_name': 'loaded spreadsheet',
                    'verbose_name_plural': 'loaded spreadsheets',
                    'ordering': ('-pk',),
                    'constraints': [models.UniqueConstraint(condition=models.Q(('once', True)), fields=('sheet', 'digest'), name='sheet_load_is_once_per_file', violation_error_message='This file was loaded already.')],
                },
            ),
            migrations.CreateModel(
                name='Job',
                fields=[
                    ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                    ('kind', inventory.ground.fields.Line(max_length=40, verbose_name='kind')),
                    ('slot', inventory.ground.fields.Line(max_length=160, verbose_name='slot')),
                    ('arguments', models.JSONField(blank=True, default=dict, verbose_name='arguments')),
                    ('cursor', models.JSONField(blank=True, null=True, verbose_name='next chunk')),
                    ('state', inventory.ground.fields.Line(choices=[('waiting', 'waiting'), ('running', 'running'), ('done', 'done'), ('failed', 'failed'), ('cancelled', 'cancelled')], default='waiting', max_length=9, verbose_name='state')),
                    ('due_at', models.DateTimeField(verbose_name='due at')),
                    ('sent_at', models.DateTimeField(blank=True, null=True, verbose_name='sent to a worker at')),
                    ('attempt', models.PositiveIntegerField(default=0, verbose_name='attempt')),
                    ('lease_until', models.DateTimeField(blank=True, null=True, verbose_name='held by a worker until')),
                    ('failures', models.PositiveSmallIntegerField(default=0, verbose_name='broke off')),
                    ('doing', inventory.ground.fields.Line(blank=True, default='', max_length=120, verbose_name='doing')),
                    ('rows_total', models.PositiveIntegerField(blank=True, null=True, verbose_name='rows')),
                    ('rows_done', models.PositiveIntegerField(default=0, verbose_name='rows done')),
                    ('rows_failed', models.PositiveIntegerField(default=0, verbose_name='rows failed')),
                    ('result', inventory.ground.fields.Words(blank=True, default='', max_length=4000, verbose_name='what came of it')),
                    ('last_error', inventory.ground.fields.Words(blank=True, default='', max_length=4000, verbose_name='why it stopped')),
                    ('made_at', models.DateTimeField(verbose_name='asked for at')),
                    ('started_at', models.DateTimeField(blank=True, null=True, verbose_name='started at')),
                    ('ended_at', models.DateTimeField(blank=True, null=True, verbose_name='ended at')),
                    ('cancelled_at', models.DateTimeField(blank=True, null=True, verbose_name='cancelled at')),
                    ('asked_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.RESTRICT, related_name='+', to=settings.AUTH_USER_MODEL, verbose_name='asked for by')),
                    ('cancelled_by', models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.RESTRICT, related_name='+', to=settings.AUTH_USER_MODEL, verbose_name='cancelled by')),
                ],
                options={
                    'verbose_name': 'job',
                    'verbose_name_plural': 'jobs',
                    'ordering': ('-pk',),
                    'indexes': [models.Index(condition=models.Q(('state__in', ['waiting', 'running'])), fields=['due_at', 'id'], name='job_under_way'), models.Index(fields=['ended_at'], name='job_ended')],
                    'constraints': [models.UniqueConstraint(fields=('kind', 'slot'), name='job_is_once_per_slot', violation_error_message='This was asked for already.'), models.CheckConstraint(condition=models.Q(('state__in', ['waiting', 'running', 'done', 'failed', 'cancelled'])), name='job_state_is_known', violation_error_message='A job is waiting, running, done, failed or cancelled.'), models.CheckConstraint(condition=models.Q(models.Q(('lease_until__isnull', False), ('state', 'running')), models.Q(models.Q(('state', 'running'), _negated=True), ('lease_until', None)), _connector='OR'), name='job_is_held_while_it_runs', violation_error_message='A job is held by a worker while it runs, and only then.'), models.CheckConstraint(condition=models.Q(models.Q(('ended_at__isnull', False), ('state__in', ('done', 'failed', 'cancelled'))), models.Q(models.Q(('state__in', ('done', 'failed', 'cancelled')), _negated=True), ('ended_at', None)), _connector='OR'), name='job_has_an_end_once_ended', violation_error_message='A job has an end once it ended, and only then.'), models.CheckConstraint(condition=models.Q(models.Q(('cancelled_at__isnull', False), ('cancelled_by__isnull', False), ('state', 'cancelled')), models.Q(models.Q(('state', 'cancelled'), _negated=True), ('cancelled_at', None), ('cancelled_by', None)), _connector='OR'), name='job_cancelled_has_who_and_when', violation_error_message='A cancelled job says who cancelled it and when.'), models.CheckConstraint(condition=models.Q(('rows_total', None), ('rows_total__gte', django.db.models.expressions.CombinedExpression(models.F('rows_done'), '+', models.F('rows_failed'))), _connector='OR'), name='job_rows_are_within_the_total', violation_error_message='A job cannot have done more rows than there are.')],
                },
            ),
            migrations.CreateModel(
                name='JobFile',
                fields=[
                    ('job', models.OneToOneField(on_delete=django.db.models.deletion.CASCADE, primary_key=True, related_name='file', serialize=False, to='ground.job')),
                    ('name', inventory.ground.fields.Line(blank=True, default='', max_length=200, verbose_name='name')),
                    ('digest', inventory.ground.fields.Line(max_length=64, verbose_name='digest')),
                    ('content', models.BinaryField(verbose_name='content')),
                ],
                options={
                    'verbose_name': 'file of a job',
                    'verbose_name_plural': 'files of jobs',
                    'ordering': ('job',),
                },
            ),
            migrations.CreateModel(
                name='JobFailure',
                fields=[
                    ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                    ('row', models.PositiveIntegerField(verbose_name='row')),
                    ('column', inventory.ground.fields.Line(blank=True, default='', max_length=120, verbose_name='column')),
                    ('words', inventory.ground.fields.Words(max_length=4000, verbose_name='what is wrong')),
                    ('job', models.ForeignKey(on_delete=django.db.models.deletion.CASCADE, related_name='row_failures', to='ground.job')),
                ],
                options={
                    'verbose_name': 'failed row',
                    'verbose_name_plural': 'failed rows',
                    'ordering': ('job', 'row', 'pk'),
                },
            ),
        ]),
    ]
