#include "scenario/pattern_piece.h"

#include <math.h>
#include <stdio.h>

#define SNAP_M        1e-3         /* corners so near the fold lie on it */
#define LEAST_AREA_M2 1e-4

static bool is_memory(thaw_status status, bool *starved, const char *problem, char *why, size_t why_size)
{
    *starved = *starved || status == THAW_ERR_MEMORY;
    snprintf(why, why_size, "%s", problem);
    return false;
}

/* Corners near the fold onto it; false if no edge lies there. */
static bool snap(thaw_polygon *p, int axis, double at)
{
    double first = NAN, last = NAN;
    for (int i = 0; i < p->n; i++) {
        if (fabs(p->at[i][axis] - at) <= SNAP_M) {
            p->at[i][axis] = at;
            first = isnan(first) ? p->at[i][!axis] : fmin(first, p->at[i][!axis]);
            last = isnan(last) ? p->at[i][!axis] : fmax(last, p->at[i][!axis]);
        }
    }
    return last - first > SNAP_M;
}

static bool unfold(const thaw_draft *draft, thaw_polygon *out, bool *starved, char *why, size_t why_size)
{
    static const char *const sides[] = {"", "left", "right", "top", "bottom"};
    const thaw_extent e = thaw_polygon_extent(&draft->outline);
    const int axis = draft->fold == THAW_FOLD_TOP || draft->fold == THAW_FOLD_BOTTOM;
    const double at = draft->fold == THAW_FOLD_LEFT    ? e.x0
                      : draft->fold == THAW_FOLD_RIGHT ? e.x1
                      : draft->fold == THAW_FOLD_TOP   ? e.y0
                                                       : e.y1;
    const double m[6] = {axis ? 1.0 : -1.0, 0.0, 0.0, axis ? -1.0 : 1.0, axis ? 0.0 : 2.0 * at, axis ? 2.0 * at : 0.0};
    thaw_polygon half = {0, NULL}, other = {0, NULL};
    thaw_status status = thaw_polygon_copy((const double(*)[2])draft->outline.at, draft->outline.n, &half, NULL);
    if (status == THAW_OK && !snap(&half, axis, at)) {
        thaw_polygon_release(&half);
        snprintf(why, why_size, "no straight edge lies on its %s side, where the fold is to be", sides[draft->fold]);
        return false;
    }
    if (status == THAW_OK) {
        status = thaw_polygon_copy((const double(*)[2])half.at, half.n, &other, NULL);
    }
    if (status == THAW_OK) {
        thaw_polygon_map(&other, m);
        status = thaw_polygon_unite(&half, &other, out, NULL);
    }
    thaw_polygon_release(&half);
    thaw_polygon_release(&other);
    return status == THAW_OK || is_memory(status, starved, "it cannot be unfolded to one piece", why, why_size);
}

static bool examine(const thaw_polygon *outline, bool *starved, char *why, size_t why_size)
{
    bool is_simple = false;
    double where[2] = {0.0, 0.0};
    thaw_status status = thaw_polygon_examine(outline, &is_simple, where, NULL);
    if (status != THAW_OK) {
        return is_memory(status, starved, "its outline is no polygon", why, why_size);
    }
    if (!is_simple) {
        snprintf(why, why_size, "its outline crosses or touches itself at %.4g cm across, %.4g cm down", where[0] * 100.0,
                 where[1] * 100.0);
        return false;
    }
    if (thaw_polygon_area(outline) < LEAST_AREA_M2) {
        snprintf(why, why_size, "it is smaller than 1 square cm");
        return false;
    }
    return true;
}

/* Grain upright, box at 0, 0. */
static void set_down(const thaw_draft *draft, thaw_pattern_piece *out)
{
    const double c = cos(draft->grain_rad), s = sin(draft->grain_rad);
    const double turn[6] = {c, -s, s, c, 0.0, 0.0};
    thaw_polygon_map(&out->outline, turn);
    thaw_polygon_map(&out->seam, turn);
    const thaw_extent e = thaw_polygon_extent(&out->outline);
    const double shift[6] = {1.0, 0.0, 0.0, 1.0, -e.x0, -e.y0};
    thaw_polygon_map(&out->outline, shift);
    thaw_polygon_map(&out->seam, shift);
    out->down[0] = s;
    out->down[1] = c;
}

bool thaw_draft_cut(const thaw_draft *draft, thaw_pattern_piece *out, bool *starved, char *why, size_t why_size)
{
    thaw_polygon whole = {0, NULL}, grown = {0, NULL};
    bool is_good = examine(&draft->outline, starved, why, why_size);
    if (is_good && draft->fold != THAW_FOLD_NONE) {
        is_good = unfold(draft, &whole, starved, why, why_size) && examine(&whole, starved, why, why_size);
    } else if (is_good) {
        thaw_status status = thaw_polygon_copy((const double(*)[2])draft->outline.at, draft->outline.n, &whole, NULL);
        is_good = status == THAW_OK || is_memory(status, starved, "not enough memory", why, why_size);
    }
    if (is_good && draft->allowance_m > 0.0) {
        thaw_status status = thaw_polygon_grow(&whole, draft->allowance_m, &grown, NULL);
        is_good = status == THAW_OK || is_memory(status, starved, "no allowance can be added round it", why, why_size);
    }
    if (!is_good) {
        thaw_polygon_release(&whole);
        return false;
    }
    out->outline = grown.n ? grown : whole;
    out->seam = grown.n ? whole : (thaw_polygon){0, NULL};
    set_down(draft, out);
    return true;
}
