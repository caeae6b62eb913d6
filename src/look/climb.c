#include "look/climb.h"

#include <math.h>
#include <stdlib.h>

#include "base/alloc.h"
#include "base/error.h"
#include "look/colour.h"
#include "look/render.h"

static int smaller_first(const void *left, const void *right)
{
    const double a = *(const double *)left, b = *(const double *)right;
    return (a > b) - (a < b);
}

/* The hanging rows by themselves; component `only`, or every one for -1. */
static thaw_print hanging_part(const thaw_print *print, int first_row, int only)
{
    thaw_print part = {.nx = print->nx, .ny = print->ny - first_row, .cell_m = print->cell_m, .cloth = print->cloth};
    const size_t first = (size_t)first_row * (size_t)print->nx;
    for (int c = 0; c < print->n_components; c++) {
        if (only < 0 || c == only) {
            part.components[part.n_components] = print->components[c];
            part.rows[part.n_components] = print->rows[c];
            part.fixed_kg_m2[part.n_components++] = print->fixed_kg_m2[c] + first;
        }
    }
    return part;
}

static void lab_at(const double *xyz, size_t n, size_t k, double lab[3])
{
    const double at[3] = {xyz[k], xyz[n + k], xyz[2 * n + k]};
    thaw_colour_lab(at, lab);
}

/* End of the dye in each column. */
static void fill_ends(const thaw_print *part, const double *xyz, const double bare[3], double *end_m)
{
    const size_t nx = (size_t)part->nx, n = nx * (size_t)part->ny;
#pragma omp parallel for schedule(static) default(none) shared(part, xyz, bare, end_m, nx, n)
    for (size_t i = 0; i < nx; i++) {
        int j = part->ny;
        double lab[3];
        do {
            j--;
            lab_at(xyz, n, (size_t)j * nx + i, lab);
        } while (j > 0 && thaw_colour_difference(lab, bare) <= THAW_CLIMB_VISIBLE);
        end_m[i] = thaw_colour_difference(lab, bare) > THAW_CLIMB_VISIBLE ? (j + 1) * part->cell_m : 0.0;
    }
}

/* Of sorted values: the smallest that is not below the share. */
static double quantile(const double *sorted, int n, double share)
{
    int i = (int)ceil(share * n) - 1;
    return sorted[i < 0 ? 0 : i];
}

static thaw_status measure(const thaw_print *part, const double bare[3], thaw_climb *out, thaw_error *err)
{
    const size_t n = (size_t)part->nx * (size_t)part->ny;
    double *xyz = thaw_allocate(3 * n, sizeof *xyz, err), *end_m = thaw_allocate((size_t)part->nx, sizeof *end_m, err);
    thaw_status status = xyz && end_m ? thaw_look_cells(part, false, xyz, err) : THAW_ERR_MEMORY;
    if (status == THAW_OK) {
        fill_ends(part, xyz, bare, end_m);
        qsort(end_m, (size_t)part->nx, sizeof *end_m, smaller_first);
        *out = (thaw_climb){quantile(end_m, part->nx, 0.1), quantile(end_m, part->nx, 0.5), quantile(end_m, part->nx, 0.9)};
    }
    thaw_release(xyz);
    thaw_release(end_m);
    return status;
}

thaw_status thaw_look_climb(const thaw_print *print, int first_row, thaw_climb *all, thaw_climb *each, thaw_error *err)
{
    thaw_climb found[THAW_MAX_COMPONENTS + 1];
    double xyz[3], bare[3];
    if (first_row < 0 || first_row >= print->ny) {
        return thaw_fail(err, THAW_ERR_ARGUMENT, "no row of the cloth hangs");
    }
    thaw_print none = {.nx = 1, .ny = 1, .cell_m = print->cell_m, .cloth = print->cloth};
    thaw_status status = thaw_look_cells(&none, false, xyz, err);
    thaw_colour_lab(xyz, bare);
    for (int c = -1; status == THAW_OK && c < print->n_components; c++) {
        thaw_print part = hanging_part(print, first_row, c);
        status = measure(&part, bare, &found[c + 1], err);
    }
    if (status == THAW_OK) {
        *all = found[0];
        for (int c = 0; c < print->n_components; c++) {
            each[c] = found[c + 1];
        }
    }
    return status;
}
