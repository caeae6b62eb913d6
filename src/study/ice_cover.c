#include "study/ice_cover.h"

#include <math.h>

#include "base/alloc.h"
#include "data/water.h"
#include "model/cover.h"
#include "setup/fold.h"
#include "setup/lay.h"
#include "setup/lay_area.h"

#define PI 3.141592653589793
#define SQUARE_M 0.008             /* as the melt has it */

/* What a piece, or a layer of small ones, shades; nothing for what comes later. */
static double radius_m(const thaw_heap *h, int i)
{
    if (h->at_s && h->at_s[i] > 0.0) {
        return 0.0;
    }
    const double diameter_m = cbrt(6.0 * h->mass_kg[i] / h->count[i] / (PI * THAW_ICE_DENSITY_KG_M3));
    return 0.5 * diameter_m * sqrt(h->area_factor[i] * h->count[i]);
}

static bool is_named(const thaw_specification *spec, const thaw_bundle *bundle, double x_m, double y_m)
{
    for (int z = 0; z < spec->n_ice; z++) {
        if (thaw_area_on_cloth(&spec->ice[z].area, bundle, x_m, y_m)) {
            return true;
        }
    }
    return false;
}

/* Each piece shades its share of what those above leave open. */
static void measure(const thaw_specification *spec, const thaw_bundle *bundle, const thaw_cover *cover,
                    thaw_ice_cover *out)
{
    double named = 0.0, covered = 0.0;
    for (int j = 0; j < cover->ny; j++) {
        for (int i = 0; i < cover->nx; i++) {
            const int q = j * cover->nx + i;
            double open = 1.0;
            if (!is_named(spec, bundle, (i + 0.5) * SQUARE_M, (j + 0.5) * SQUARE_M)) {
                continue;
            }
            for (int32_t e = cover->start[q]; e < cover->start[q + 1]; e++) {
                open *= 1.0 - (double)cover->share[e];
            }
            named += 1.0;
            covered += 1.0 - open;
        }
    }
    out->area_m2 = named * SQUARE_M * SQUARE_M;
    out->share = named > 0.0 ? covered / named : 0.0;
}

static void weigh_zones(const thaw_specification *spec, const thaw_bundle *bundle, thaw_ice_cover *out)
{
    for (int z = 0; z < spec->n_ice; z++) {
        const thaw_ice_zone *zone = &spec->ice[z];
        out->zone_kg[z] = zone->depth_m > 0.0 ? THAW_ICE_DENSITY_KG_M3 * zone->kind->packing * zone->depth_m *
                                                    thaw_area_size_m2(&zone->area, bundle)
                                              : zone->mass_kg;
    }
}

thaw_status thaw_ice_cover_find(const thaw_specification *spec, thaw_ice_cover *out, thaw_error *err)
{
    thaw_bundle bundle = {0};
    thaw_heap heap = {0};
    thaw_cover cover = {0};
    thaw_ice_cover found = {0};
    double *radii_m = NULL;
    thaw_status status = thaw_fold_bundle(spec, &bundle, err);
    if (status == THAW_OK) {
        status = thaw_lay_ice(spec, &bundle, &heap, err);
    }
    if (status == THAW_OK) {
        status = thaw_cover_create(bundle.width_m, bundle.length_m, SQUARE_M, &cover, err);
    }
    if (status == THAW_OK) {
        radii_m = thaw_allocate((size_t)heap.n, sizeof *radii_m, err);
        status = radii_m ? THAW_OK : THAW_ERR_MEMORY;
    }
    for (int i = 0; status == THAW_OK && i < heap.n; i++) {
        radii_m[i] = radius_m(&heap, i);
    }
    if (status == THAW_OK) {
        status = thaw_cover_build(&cover, heap.n, heap.x_m, heap.y_m, radii_m, err);
    }
    if (status == THAW_OK) {
        measure(spec, &bundle, &cover, &found);
        weigh_zones(spec, &bundle, &found);
        *out = found;
    }
    thaw_release(radii_m);
    thaw_cover_destroy(&cover);
    thaw_heap_release(&heap);
    thaw_bundle_release(&bundle);
    return status;
}
