/* From the folds of a specification to the place of every cloth cell in the bundle. */
#ifndef THAW_SETUP_FOLD_H
#define THAW_SETUP_FOLD_H

#include <stdbool.h>

#include "model/bundle.h"
#include "model/specification.h"
#include "thawprint/status.h"

/* Apply the folds in order to the flat cloth, then find layers and contacts. The caller owns what
 * *out holds afterwards and frees it with thaw_bundle_release. On failure *out is untouched. */
thaw_status thaw_fold_bundle(const thaw_specification *spec, thaw_bundle *out, thaw_error *err);
/* Frees the arrays and empties the struct; a zeroed struct is fine. */
void thaw_bundle_release(thaw_bundle *bundle);
/* All invariants of model/bundle.h, for assertions and tests. */
bool thaw_bundle_is_valid(const thaw_bundle *bundle);

#endif
