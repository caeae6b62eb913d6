/* Which cell rests on which, and how many layers lie over each place. */
#ifndef THAW_SETUP_CONTACT_H
#define THAW_SETUP_CONTACT_H

#include <stdint.h>

#include "model/bundle.h"
#include "thawprint/status.h"

/* Needs nx, ny, n, cell_m and the places, all x, y >= 0; allocates and fills everything else. On
 * failure what it allocated stays in the bundle for thaw_bundle_release. */
thaw_status thaw_contact_link(double thickness_m, uint64_t seed, thaw_bundle *bundle, thaw_error *err);

#endif
