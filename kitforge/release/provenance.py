"""A provenance statement beside a zip: what was built from what, in the form that attestations sign.

in-toto Statement v1 with the predicate of SLSA Provenance v1 (published specifications; names of fields from memory of
them, checked by nothing here). It holds no time and no host, so that equal input gives equal bytes; unsigned: the build
server's attestation signs.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import asdict
from typing import TYPE_CHECKING

from kitforge import __version__

if TYPE_CHECKING:
    from kitforge.model.pack import BuildOptions

STATEMENT = "https://in-toto.io/Statement/v1"
PREDICATE = "https://slsa.dev/provenance/v1"
_BUILD_TYPE = "urn:kitforge:build:1"


def statement(
    zip_name: str, zip_sum: str, files: Mapping[str, bytes], options: BuildOptions, libraries: Mapping[str, str]
) -> bytes:
    """Return the statement about a zip as JSON. files: those of the kit; libraries: versions that it was made with."""
    inputs = [
        {"uri": f"file:{name}", "digest": {"sha256": hashlib.sha256(files[name]).hexdigest()}} for name in sorted(files)
    ]
    made_with = [
        {"uri": f"urn:kitforge:library:{name}", "annotations": {"version": libraries[name]}}
        for name in sorted(libraries)
    ]
    document = {
        "_type": STATEMENT,
        "subject": [{"name": zip_name, "digest": {"sha256": zip_sum}}],
        "predicateType": PREDICATE,
        "predicate": {
            "buildDefinition": {
                "buildType": _BUILD_TYPE,
                "externalParameters": {"options": asdict(options)},
                "internalParameters": {},
                "resolvedDependencies": [*inputs, *made_with],
            },
            "runDetails": {"builder": {"id": "urn:kitforge:local", "version": {"kitforge": __version__}}},
        },
    }
    return (json.dumps(document, indent=1, sort_keys=True) + "\n").encode()
