#include "scenario/estimate.h"

#include <math.h>
#include <stdio.h>

#define BYTES_PER_CELL           400.0 /* geometry, water, multigrid: estimate */
#define BYTES_PER_CELL_COMPONENT 120.0 /* one dye: estimate */
#define MOST_CELLS               25e6  /* 5 m x 5 m at 1 mm; beyond, a run takes days */
/* Seconds of one thread for a cell and an hour: estimates for a machine of 2023. */
#define SECONDS_PER_CELL_H           2.0e-6
#define SECONDS_PER_CELL_H_COMPONENT 2.0e-6

static int count_components(const thaw_specification *spec)
{
    bool used[64] = {false};
    int n = 0;
    for (int d = 0; d < spec->n_dye; d++) {
        const thaw_colour *colour = spec->dye[d].colour;
        for (int p = 0; colour && p < colour->n_parts; p++) {
            int component = colour->parts[p].component;
            if (component >= 0 && component < 64 && !used[component]) {
                used[component] = true;
                n++;
            }
        }
    }
    return n;
}

thaw_estimate thaw_estimate_run(const thaw_specification *spec)
{
    thaw_estimate e = {0};
    e.nx = fmax(1.0, floor(spec->width_m / spec->cell_m + 0.5)) * thaw_specification_layers(spec);
    e.ny = fmax(1.0, floor(spec->length_m / spec->cell_m + 0.5));
    e.cells = e.nx * e.ny;
    e.components = count_components(spec);
    e.bytes = e.cells * (BYTES_PER_CELL + BYTES_PER_CELL_COMPONENT * e.components);
    e.seconds = e.cells * spec->leave_s / 3600.0 *
                (SECONDS_PER_CELL_H + SECONDS_PER_CELL_H_COMPONENT * e.components);
    return e;
}

bool thaw_estimate_fits(const thaw_estimate *estimate, double available, char *why, size_t size)
{
    double need_gib = estimate->bytes / 0x1p30;
    if (estimate->cells > MOST_CELLS) {
        snprintf(why, size,
                 "%.0f x %.0f cells need about %.1f GiB; at most 25 million cells are computed",
                 estimate->nx, estimate->ny, need_gib);
        return false;
    }
    if (available > 0.0 && estimate->bytes > available) {
        snprintf(why, size, "%.0f x %.0f cells need about %.1f GiB, and %.1f GiB are free",
                 estimate->nx, estimate->ny, need_gib, available / 0x1p30);
        return false;
    }
    return true;
}
