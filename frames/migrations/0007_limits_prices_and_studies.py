from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("frames", "0006_shop_language")]

    operations = [
        migrations.AddField(
            model_name="shop",
            name="rest_limit_n_per_cm",
            field=models.FloatField(default=0.5),
        ),
        migrations.AddField(
            model_name="shop",
            name="set_spread_n_per_cm",
            field=models.FloatField(default=2),
        ),
        migrations.AddField(
            model_name="shop",
            name="prices",
            field=models.JSONField(default=dict),
        ),
        migrations.AddField(
            model_name="meter",
            name="studies",
            field=models.JSONField(default=list),
        ),
    ]
