/* A specification folded, and held to what every bundle must keep. */
#ifndef THAW_TESTS_FOLDED_H
#define THAW_TESTS_FOLDED_H

#include "check.h"

#include "setup/fold.h"

/* Release with thaw_bundle_release. */
static inline thaw_bundle folded(const thaw_specification *spec)
{
    thaw_bundle bundle = {0};
    thaw_error err = {0};
    assert_int_equal(thaw_fold_bundle(spec, &bundle, &err), THAW_OK);
    assert_true(thaw_bundle_is_valid(&bundle));
    return bundle;
}

#endif
