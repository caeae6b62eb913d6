/* A cell belongs to the panel that holds its middle. Neighbours in the grid are joined if they are of one panel, or
 * if a seam runs between them. Where a seam joins two layers, the cells along it on both sides are paired: as the
 * garment lies flat they lie on each other. A cell has one link down; along a seam that is its partner rather than
 * what else lies below. */
#include "setup/panels.h"

#include <math.h>
#include <stdbool.h>

#include "base/alloc.h"
#include "base/error.h"

/* name, value, unit, source */
static const double along_cells = 0.8;        /* cells: the middle of a cell on a slanting edge is up to 0.71 off it; computed */
static const float sewn_share = 0.1f;         /* contact share of sewn cells, as stacked cloth; only pictures and checks see it */

static double distance_m(const double p[2], const double a[2], const double b[2])
{
    const double dx = b[0] - a[0], dy = b[1] - a[1], square = dx * dx + dy * dy;
    double t = square > 0.0 ? ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / square : 0.0;
    t = fmax(0.0, fmin(1.0, t));
    return hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy);
}

static bool is_on_seam(const thaw_garment *g, const thaw_seam *seam, int side, const double p[2], double reach_m)
{
    const int n = thaw_seam_corners(g, seam, side);
    for (int i = 0; i + 1 < n; i++)
        if (distance_m(p, thaw_seam_corner(g, seam, side, i), thaw_seam_corner(g, seam, side, i + 1)) <= reach_m)
            return true;
    return false;
}

static void middle_of(const thaw_bundle *b, size_t k, double out[2])
{
    out[0] = ((double)(k % (size_t)b->nx % (size_t)b->sheet_nx) + 0.5) * b->cell_m;
    out[1] = ((double)(k / (size_t)b->nx) + 0.5) * b->cell_m;
}

static thaw_status fill_panels(const thaw_garment *g, thaw_bundle *b, thaw_error *err)
{
    size_t count[THAW_MAX_PANELS] = {0};
    for (size_t k = 0; k < b->n; k++) {
        double at[2];
        const int layer = (int)(k % (size_t)b->nx) / b->sheet_nx;
        middle_of(b, k, at);
        for (int p = 0; p < g->n_panels && b->panel[k] == 0; p++)
            if (g->panels[p].layer == layer && thaw_garment_panel_holds(&g->panels[p], at[0], at[1])) {
                b->panel[k] = (uint8_t)(1 + p);
                count[p]++;
            }
    }
    for (int p = 0; p < g->n_panels; p++)
        if (count[p] == 0)
            return thaw_fail(err, THAW_ERR_ARGUMENT, "panel `%s` is smaller than a cell of %g mm", g->panels[p].name,
                             1000.0 * b->cell_m);
    return THAW_OK;
}

/* Whether a seam runs between two neighbours of one layer. */
static bool seam_between(const thaw_garment *g, const thaw_bundle *b, size_t k, size_t q)
{
    double here[2], there[2];
    middle_of(b, k, here);
    middle_of(b, q, there);
    const double between[2] = {0.5 * (here[0] + there[0]), 0.5 * (here[1] + there[1])};
    for (int s = 0; s < g->n_seams; s++) {
        const thaw_seam *seam = &g->seams[s];
        const int p = b->panel[k] - 1, o = b->panel[q] - 1;
        const bool fits = (seam->panel[0] == p && seam->panel[1] == o) || (seam->panel[0] == o && seam->panel[1] == p);
        if (fits && is_on_seam(g, seam, 0, between, along_cells * b->cell_m))
            return true;
    }
    return false;
}

static bool are_joined(const thaw_garment *g, const thaw_bundle *b, size_t k, size_t q)
{
    const int layer = (int)(k % (size_t)b->nx) / b->sheet_nx, other = (int)(q % (size_t)b->nx) / b->sheet_nx;
    if (b->panel[k] == 0 || b->panel[q] == 0 || layer != other)
        return false;
    return b->panel[k] == b->panel[q] || seam_between(g, b, k, q);
}

static void fill_cuts(const thaw_garment *g, thaw_bundle *b)
{
    const size_t nx = (size_t)b->nx;
    for (size_t k = 0; k < b->n; k++) {
        const bool right = (k + 1) % nx != 0 && are_joined(g, b, k, k + 1);
        const bool down = k + nx < b->n && are_joined(g, b, k, k + nx);
        b->cut[k] = (uint8_t)((right ? 0u : THAW_CUT_RIGHT) | (down ? 0u : THAW_CUT_DOWN));
    }
}

/* On the outline of its panel: one of the four neighbours is not of it. */
static bool is_on_rim(const thaw_bundle *b, size_t k)
{
    const size_t nx = (size_t)b->nx, i = k % nx, j = k / nx;
    const uint8_t p = b->panel[k];
    return i == 0 || b->panel[k - 1] != p || i + 1 == nx || b->panel[k + 1] != p || j == 0 || b->panel[k - nx] != p ||
           j + 1 == (size_t)b->ny || b->panel[k + nx] != p;
}

/* The nearest cell of the panel along the seam that has no partner yet, among those under or beside k; -1 for none. */
static int32_t partner_of(const thaw_garment *g, const thaw_bundle *b, const thaw_seam *seam, int side, size_t k)
{
    const int other = seam->panel[1 - side], shift = (g->panels[other].layer - g->panels[seam->panel[side]].layer) * b->sheet_nx;
    const int i = (int)(k % (size_t)b->nx) + shift, j = (int)(k / (size_t)b->nx);
    int32_t best = -1;
    int nearest = 3;
    for (int y = j - 1; y <= j + 1; y++)
        for (int x = i - 1; x <= i + 1; x++) {
            const int far = (x - i) * (x - i) + (y - j) * (y - j);
            const size_t q = (size_t)y * (size_t)b->nx + (size_t)x;
            double at[2];
            if (x < 0 || y < 0 || x >= b->nx || y >= b->ny || far >= nearest || b->panel[q] != other + 1 ||
                b->seam[q] >= 0 || !is_on_rim(b, q))
                continue;
            middle_of(b, q, at);
            if (is_on_seam(g, seam, 1 - side, at, along_cells * b->cell_m)) {
                best = (int32_t)q;
                nearest = far;
            }
        }
    return best;
}

static void fill_seams(const thaw_garment *g, thaw_bundle *b)
{
    for (size_t k = 0; k < b->n; k++)
        b->seam[k] = -1;
    for (int s = 0; s < g->n_seams; s++) {
        const thaw_seam *seam = &g->seams[s];
        if (g->panels[seam->panel[0]].layer == g->panels[seam->panel[1]].layer)
            continue; /* beside each other: joined in the grid */
        for (size_t k = 0; k < b->n; k++) {
            double at[2];
            if (b->panel[k] != seam->panel[0] + 1 || b->seam[k] >= 0 || !is_on_rim(b, k))
                continue;
            middle_of(b, k, at);
            const bool on = is_on_seam(g, seam, 0, at, along_cells * b->cell_m);
            const int32_t q = on ? partner_of(g, b, seam, 0, k) : -1;
            if (q >= 0) {
                b->seam[k] = q;
                b->seam[q] = (int32_t)k;
            }
        }
    }
}

thaw_status thaw_panels_fill(const thaw_specification *spec, thaw_bundle *bundle, thaw_error *err)
{
    thaw_bundle *b = bundle;
    b->panel = thaw_allocate(b->n, sizeof *b->panel, err);
    b->cut = thaw_allocate(b->n, sizeof *b->cut, err);
    b->seam = thaw_allocate(b->n, sizeof *b->seam, err);
    if (!b->panel || !b->cut || !b->seam)
        return THAW_ERR_MEMORY;
    thaw_status status = fill_panels(&spec->garment, b, err);
    if (status == THAW_OK) {
        fill_cuts(&spec->garment, b);
        fill_seams(&spec->garment, b);
    }
    return status;
}

size_t thaw_panels_pack(thaw_bundle *bundle, size_t n)
{
    thaw_bundle *b = bundle;
    size_t m = 0;
    for (size_t k = 0; k < n; k++) {
        if (!thaw_bundle_is_cloth(b, k))
            continue;
        b->x_m[m] = b->x_m[k];
        b->y_m[m] = b->y_m[k];
        b->z_m[m] = b->z_m[k];
        m++;
    }
    return m;
}

void thaw_panels_unpack(thaw_bundle *bundle, size_t n)
{
    thaw_bundle *b = bundle;
    size_t m = 0;
    for (size_t k = 0; k < n; k++)
        m += thaw_bundle_is_cloth(b, k);
    for (size_t k = n; k-- > 0;) {
        const bool is = thaw_bundle_is_cloth(b, k);
        m -= is;
        b->x_m[k] = is ? b->x_m[m] : 0.5 * b->cell_m;
        b->y_m[k] = is ? b->y_m[m] : 0.5 * b->cell_m;
        b->z_m[k] = is ? b->z_m[m] : 0.0;
        if (b->tie)
            b->tie[k] = is ? b->tie[m] : 0.0f;
    }
}

void thaw_panels_sew(thaw_bundle *bundle)
{
    thaw_bundle *b = bundle;
    for (size_t k = 0; b->seam && k < thaw_bundle_first_hung(b); k++) {
        const int32_t q = b->seam[k];
        if (q >= 0 && (size_t)q < thaw_bundle_first_hung(b) && b->z_m[q] < b->z_m[k]) {
            b->below[k] = q;
            b->contact[k] = sewn_share;
        }
    }
}
