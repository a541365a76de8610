from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("surveys", "0009_add_to_notices_what_is_told_of_many_hoods")]

    operations = [
        migrations.AddField(
            "criteriaversion", "seldom", models.TextField(blank=True, default=""), preserve_default=False
        ),
    ]
