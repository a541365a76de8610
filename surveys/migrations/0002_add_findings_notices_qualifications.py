
import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('hoods', '0001_initial'),
        ('surveys', '0001_initial'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.AddField(
            model_name='assignment',
            name='evidence',
            field=models.TextField(blank=True),
        ),
        migrations.CreateModel(
            name='Finding',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(max_length=20)),
                ('figure', models.CharField(blank=True, max_length=60)),
                ('check_code', models.CharField(blank=True, max_length=60)),
                ('limit', models.PositiveSmallIntegerField(null=True)),
                ('ended', models.CharField(blank=True, max_length=40)),
                ('opening_name', models.CharField(blank=True, max_length=60)),
                ('value', models.CharField(blank=True, max_length=60)),
                ('unit', models.CharField(blank=True, max_length=12)),
                ('at', models.DateTimeField()),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('hood', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='findings', to='hoods.hood')),
                ('survey', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='findings', to='surveys.survey')),
            ],
            options={
                'ordering': ['hood', 'at', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='FindingChange',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(max_length=12)),
                ('owner', models.CharField(blank=True, max_length=120)),
                ('order_number', models.CharField(blank=True, max_length=60)),
                ('promised_on', models.DateField(null=True)),
                ('words', models.TextField(blank=True)),
                ('at', models.DateTimeField()),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('finding', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='changes', to='surveys.finding')),
                ('survey', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='surveys.survey')),
            ],
            options={
                'ordering': ['finding', 'at', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='Notice',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('address', models.EmailField(max_length=254)),
                ('kind', models.CharField(max_length=20)),
                ('at', models.DateTimeField()),
                ('by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('hood', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='notices', to='hoods.hood')),
                ('site', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='notices', to='hoods.site')),
                ('stop', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='notices', to='surveys.stop')),
                ('survey', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='notices', to='surveys.survey')),
                ('to', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='notices', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ['at', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='NoticeTry',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('sent', models.BooleanField()),
                ('answer', models.TextField(blank=True)),
                ('at', models.DateTimeField()),
                ('notice', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='tries', to='surveys.notice')),
            ],
            options={
                'ordering': ['notice', 'at', 'pk'],
            },
        ),
        migrations.CreateModel(
            name='Qualification',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('method', models.CharField(max_length=120)),
                ('qualified_by', models.CharField(max_length=120)),
                ('from_on', models.DateField()),
                ('until_on', models.DateField(null=True)),
                ('at', models.DateTimeField()),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('person', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='qualifications', to=settings.AUTH_USER_MODEL)),
                ('site', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='qualifications', to='hoods.site')),
            ],
            options={
                'ordering': ['person', 'from_on', 'pk'],
            },
        ),
        migrations.AddIndex(
            model_name='finding',
            index=models.Index(fields=['hood', 'at'], name='finding_hood'),
        ),
        migrations.AddConstraint(
            model_name='findingchange',
            constraint=models.UniqueConstraint(condition=models.Q(('kind', 'closed')), fields=('finding',), name='finding_closed_once'),
        ),
        migrations.AddConstraint(
            model_name='findingchange',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('kind', 'closed'), _negated=True), ('survey__isnull', False), models.Q(('words', ''), _negated=True), _connector='OR'), name='finding_closed_by_a_survey_or_a_reason'),
        ),
        migrations.AddIndex(
            model_name='notice',
            index=models.Index(fields=['hood', 'at'], name='notice_hood'),
        ),
        migrations.AddConstraint(
            model_name='noticetry',
            constraint=models.UniqueConstraint(condition=models.Q(('sent', True)), fields=('notice',), name='notice_sent_once'),
        ),
        migrations.AddConstraint(
            model_name='qualification',
            constraint=models.CheckConstraint(condition=models.Q(('until_on__isnull', True), ('until_on__gte', models.F('from_on')), _connector='OR'), name='qualification_ends_after_it_begins'),
        ),
    ]
