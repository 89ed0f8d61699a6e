"""From a drawing to a first kit: what lies on its layers, what was probably meant, and a kit.yaml that says so."""
