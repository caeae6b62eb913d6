#include "scenario/garment_checks.h"

#include <math.h>

#define STATIONS 40                /* along a seam */
#define OVERLAP_SQUARE_M 0.004
#define OVERLAP_MOST 400           /* squares along a side; larger squares for larger panels */

static double side_of(const double a[2], const double b[2], const double p[2])
{
    return (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]);
}

static bool between(const double a[2], const double b[2], const double p[2])
{
    return p[0] >= fmin(a[0], b[0]) && p[0] <= fmax(a[0], b[0]) && p[1] >= fmin(a[1], b[1]) && p[1] <= fmax(a[1], b[1]);
}

/* Cross, or touch. */
static bool meet(const double a[2], const double b[2], const double c[2], const double d[2])
{
    const double s1 = side_of(a, b, c), s2 = side_of(a, b, d), s3 = side_of(c, d, a), s4 = side_of(c, d, b);
    if (((s1 > 0.0) != (s2 > 0.0)) && ((s3 > 0.0) != (s4 > 0.0)) && s1 != 0.0 && s2 != 0.0 && s3 != 0.0 && s4 != 0.0) {
        return true;
    }
    return (s1 == 0.0 && between(a, b, c)) || (s2 == 0.0 && between(a, b, d)) || (s3 == 0.0 && between(c, d, a)) ||
           (s4 == 0.0 && between(c, d, b));
}

/* Two edges with a corner in common fold back on each other. */
static bool folds_back(const double a[2], const double corner[2], const double b[2])
{
    const double ax = a[0] - corner[0], ay = a[1] - corner[1], bx = b[0] - corner[0], by = b[1] - corner[1];
    return ax * by - ay * bx == 0.0 && ax * bx + ay * by >= 0.0; /* an edge without length, too */
}

bool thaw_garment_crossing(const thaw_garment_panel *panel, int edges[2])
{
    const int n = panel->n_corners;
    for (int i = 0; i < n; i++) {
        const double *a = panel->corners[i], *b = panel->corners[(i + 1) % n];
        for (int j = i + 1; j < n; j++) {
            const double *c = panel->corners[j], *d = panel->corners[(j + 1) % n];
            const bool next = j == i + 1, last = (j + 1) % n == i;
            bool amiss = next ? folds_back(a, b, d) : last ? folds_back(c, a, b) : meet(a, b, c, d);
            if (amiss) {
                edges[0] = i + 1;
                edges[1] = j + 1;
                return true;
            }
        }
    }
    return false;
}

double thaw_garment_overlap_m2(const thaw_garment_panel *a, const thaw_garment_panel *b)
{
    double low[2] = {a->corners[0][0], a->corners[0][1]}, high[2] = {low[0], low[1]};
    for (int i = 1; i < a->n_corners; i++) {
        for (int d = 0; d < 2; d++) {
            low[d] = fmin(low[d], a->corners[i][d]);
            high[d] = fmax(high[d], a->corners[i][d]);
        }
    }
    const double span = fmax(high[0] - low[0], high[1] - low[1]);
    const double square = fmax(OVERLAP_SQUARE_M, span / OVERLAP_MOST);
    int both = 0;
    for (double y = low[1] + 0.5 * square; y < high[1]; y += square) {
        for (double x = low[0] + 0.5 * square; x < high[0]; x += square) {
            both += thaw_garment_panel_holds(a, x, y) && thaw_garment_panel_holds(b, x, y);
        }
    }
    return both * square * square;
}

double thaw_seam_length_m(const thaw_garment *garment, const thaw_seam *seam, int side)
{
    const int n = thaw_seam_corners(garment, seam, side);
    double length = 0.0;
    for (int i = 0; i + 1 < n; i++) {
        const double *a = thaw_seam_corner(garment, seam, side, i), *b = thaw_seam_corner(garment, seam, side, i + 1);
        length += hypot(b[0] - a[0], b[1] - a[1]);
    }
    return length;
}

/* Place at a share of the way along one side. */
static void station(const thaw_garment *g, const thaw_seam *seam, int side, double share, double out[2])
{
    const int n = thaw_seam_corners(g, seam, side);
    double left = share * thaw_seam_length_m(g, seam, side);
    for (int i = 0; i + 1 < n; i++) {
        const double *a = thaw_seam_corner(g, seam, side, i), *b = thaw_seam_corner(g, seam, side, i + 1);
        const double step = hypot(b[0] - a[0], b[1] - a[1]), t = step > 0.0 ? fmin(1.0, left / step) : 0.0;
        out[0] = a[0] + t * (b[0] - a[0]);
        out[1] = a[1] + t * (b[1] - a[1]);
        if (left <= step) {
            return;
        }
        left -= step;
    }
}

double thaw_seam_gap_m(const thaw_garment *garment, const thaw_seam *seam)
{
    double along = 0.0, against = 0.0;
    for (int s = 0; s <= STATIONS; s++) {
        double here[2] = {0.0, 0.0}, same[2] = {0.0, 0.0}, opposite[2] = {0.0, 0.0};
        station(garment, seam, 0, (double)s / STATIONS, here);
        station(garment, seam, 1, (double)s / STATIONS, same);
        station(garment, seam, 1, 1.0 - (double)s / STATIONS, opposite);
        along = fmax(along, hypot(here[0] - same[0], here[1] - same[1]));
        against = fmax(against, hypot(here[0] - opposite[0], here[1] - opposite[1]));
    }
    return fmin(along, against);
}
