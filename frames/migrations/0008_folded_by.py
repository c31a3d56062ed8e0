from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("frames", "0007_limits_prices_and_studies")]

    operations = [
        migrations.AddField(
            model_name="counter",
            name="folded_by",
            field=models.CharField(blank=True, default="", max_length=64),
        ),
    ]
