"""Holds FHIR bundles against two models of others, and prints what each has against them, as a list for each bundle.

fhir_models.py FILE    FILE has a JSON list of bundles

fhir.resources has models of R4B, in which the resources used here are as in R4 (HL7, R4B explanation); fhirkit has R4 itself.
"""

import json
import sys

import fhirkit
from fhir.resources.R4B import bundle as r4b
from pydantic import ValidationError

with open(sys.argv[1], encoding="utf-8") as file:
    bundles = json.load(file)

verdicts = []
for one in bundles:
    against = {"fhir.resources": [], "fhirkit": []}
    try:
        r4b.Bundle.model_validate(one)
    except ValidationError as error:
        against["fhir.resources"] = [f"{item['loc']}: {item['msg']}" for item in error.errors()]
    try:
        issues = fhirkit.validate(one)
        against["fhirkit"] = [str(issue) for issue in issues if "error" in str(issue).split(" ", 1)[0]]
    except (ValueError, TypeError) as error:
        against["fhirkit"] = [str(error)]
    verdicts.append(against)
print(json.dumps(verdicts))
