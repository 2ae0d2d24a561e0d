"""Makes an authority with a certificate for `localhost`, by trustme, in the folder that is given."""
import sys

import trustme

folder = sys.argv[1]
authority = trustme.CA()
authority.cert_pem.write_to_path(f"{folder}/authority.pem")
made = authority.issue_cert("localhost")
made.private_key_pem.write_to_path(f"{folder}/server.key")
for at, pem in enumerate(made.cert_chain_pems):
    pem.write_to_path(f"{folder}/server.pem", append=at > 0)
