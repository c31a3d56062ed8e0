from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('frames', '0005_how_mesh_is_fitted'),
    ]

    operations = [
        migrations.AddField(
            model_name='shop',
            name='language',
            field=models.CharField(default='en', max_length=2),
        ),
    ]
