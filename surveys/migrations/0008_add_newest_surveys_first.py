from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("surveys", "0007_add_what_an_approval_depends_on")]

    operations = [
        migrations.AddIndex(
            model_name="survey", index=models.Index(fields=["-done_on", "-record"], name="survey_newest")
        ),
    ]
