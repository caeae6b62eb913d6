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

/* Of the steps to both neighbours, in cells. */
static inline void measure_steps(const thaw_bundle *b, double *rms_strain, double *longest)
{
    size_t nx = (size_t)b->nx, n = 0;
    double square = 0.0;
    *longest = 0.0;
    for (size_t k = 0; k < b->n; k++)
        for (int way = 0; way < 2; way++) {
            size_t q = way ? k + nx : k + 1;
            if (way ? q >= b->n : q % nx == 0)
                continue;
            double dx = b->x_m[q] - b->x_m[k], dy = b->y_m[q] - b->y_m[k], dz = b->z_m[q] - b->z_m[k];
            double step = sqrt(dx * dx + dy * dy + dz * dz) / b->cell_m;
            square += fmax(0.0, step - 1.0) * fmax(0.0, step - 1.0); /* at a pleat's tip the way is shorter */
            *longest = fmax(*longest, step);
            n++;
        }
    *rms_strain = sqrt(square / (double)n);
}

#endif
