from hashlib import sha256

import rfc8785
from django.db import migrations, models


def name_routes(apps, schema_editor):
    jobs = apps.get_model("jobs", "Job").objects
    named = {}
    for pk, route in jobs.values_list("pk", "route").iterator(chunk_size=50):
        named[pk] = sha256(rfc8785.dumps(route)).hexdigest()
    for pk, sha in named.items():
        jobs.filter(pk=pk).update(route_sha=sha)
    # Until now every write folded at once.
    jobs.update(folded_seq=models.F("changed_seq"))


class Migration(migrations.Migration):
    dependencies = [("jobs", "0001_initial")]

    operations = [
        migrations.AddField("job", "route_sha", models.CharField(default="", max_length=64)),
        migrations.AddField("job", "folded_seq", models.PositiveBigIntegerField(default=0)),
        migrations.RunPython(name_routes, migrations.RunPython.noop),
    ]
