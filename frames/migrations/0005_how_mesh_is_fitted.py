from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("frames", "0004_entries_by_job")]

    operations = [
        migrations.AddField(
            model_name="shop",
            name="stretching",
            field=models.JSONField(default=dict),
        ),
    ]
