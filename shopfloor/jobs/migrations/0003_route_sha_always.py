from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("jobs", "0002_route_sha_folded_seq")]

    operations = [
        migrations.AlterField("job", "route_sha", models.CharField(max_length=64)),
        migrations.AddConstraint(
            "job",
            models.CheckConstraint(condition=~models.Q(route_sha=""), name="job_names_its_route"),
        ),
        migrations.AddIndex(
            "job", models.Index(fields=["workshop", "route_sha"], name="job_by_route")
        ),
        migrations.AddIndex(
            "job",
            models.Index(
                fields=["workshop"],
                condition=models.Q(folded_seq__lt=models.F("changed_seq")),
                name="job_to_fold",
            ),
        ),
    ]
