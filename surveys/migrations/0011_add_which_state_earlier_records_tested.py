from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("surveys", "0010_add_why_criteria_ask_so_seldom")]

    operations = [
        migrations.AddField(
            "earlierresult", "flow_state", models.CharField(blank=True, default="", max_length=20), preserve_default=False
        ),
    ]
