#include "setup/lay_area.h"

#include <math.h>

#include "base/alloc.h"
#include "base/error.h"

#define DEG_PER_RAD 57.29577951308232

/* An area's places and lengths in metres on this bundle. */
typedef struct frame {
    double across, along, length;  /* metres for one unit of x, of y, of a width */
} frame;

static frame frame_of(const thaw_area *area, const thaw_bundle *b)
{
    return (frame){area->in_metres ? 1.0 : b->width_m, area->in_metres ? 1.0 : b->length_m,
                   area->wide_in_metres ? 1.0 : fmin(b->width_m, b->length_m)};
}

static bool in_round(const thaw_area *area, double fx, double fy)
{
    if (fx < area->x0 || fx > area->x1 || fy < area->y0 || fy > area->y1) {
        return false;
    }
    if (area->shape == THAW_AREA_BOX) {
        return true;
    }
    double dx = (2.0 * fx - area->x0 - area->x1) / (area->x1 - area->x0);
    double dy = (2.0 * fy - area->y0 - area->y1) / (area->y1 - area->y0);
    double r2 = dx * dx + dy * dy;
    return r2 <= 1.0 && (area->shape == THAW_AREA_DISC || r2 >= area->inner * area->inner);
}

static bool in_hoop(const thaw_area *area, frame f, double x, double y)
{
    const double r = hypot(x - area->x0 * f.across, y - area->y0 * f.along);
    return r <= area->width * f.length && r >= area->spacing * f.length;
}

static bool in_band(const thaw_area *area, frame f, double x, double y)
{
    const double ax = area->x0 * f.across, ay = area->y0 * f.along;
    const double dx = area->x1 * f.across - ax, dy = area->y1 * f.along - ay;
    const double length = hypot(dx, dy);
    const double along = ((x - ax) * dx + (y - ay) * dy) / length, aside = ((x - ax) * dy - (y - ay) * dx) / length;
    return along >= 0.0 && along <= length && fabs(aside) <= 0.5 * area->width * f.length;
}

/* Clockwise from the top, 0 .. 360. */
static double bearing_deg(const thaw_area *area, frame f, double x, double y)
{
    const double angle = DEG_PER_RAD * atan2(x - area->x0 * f.across, area->y0 * f.along - y);
    return angle < 0.0 ? angle + 360.0 : angle;
}

static bool in_wedge(const thaw_area *area, frame f, double x, double y)
{
    const double turn = fmod(bearing_deg(area, f, x, y) - area->from_deg + 720.0, 360.0);
    return turn <= area->to_deg - area->from_deg;
}

static bool in_wedges(const thaw_area *area, frame f, double x, double y)
{
    const double each = 360.0 / area->n_corners;
    const double turn = fmod(bearing_deg(area, f, x, y) + 0.5 * area->to_deg, each);
    return turn <= area->to_deg;
}

/* Even-odd rule. */
static bool in_polygon(const thaw_area *area, frame f, double x, double y)
{
    bool inside = false;
    for (int i = 0, j = area->n_corners - 1; i < area->n_corners; j = i++) {
        const double xi = area->corners[i][0] * f.across, yi = area->corners[i][1] * f.along;
        const double xj = area->corners[j][0] * f.across, yj = area->corners[j][1] * f.along;
        if ((yi > y) != (yj > y) && x < xi + (xj - xi) * (y - yi) / (yj - yi)) {
            inside = !inside;
        }
    }
    return inside;
}

/* One line runs through the middle of the bundle, the others lie a spacing apart. */
static bool in_lines(const thaw_area *area, const thaw_bundle *b, frame f, double x, double y)
{
    const double angle = area->from_deg / DEG_PER_RAD;
    const double aside = (x - 0.5 * b->width_m) * sin(angle) + (y - 0.5 * b->length_m) * cos(angle);
    return fabs(remainder(aside, area->spacing * f.length)) <= 0.5 * area->width * f.length;
}

static bool in_rings(const thaw_area *area, frame f, double x, double y)
{
    const double r = hypot(x - area->x0 * f.across, y - area->y0 * f.along), every = area->spacing * f.length;
    return r > 0.5 * every && fabs(remainder(r, every)) <= 0.5 * area->width * f.length;
}

static double painted(const thaw_mask *mask, double fx, double fy)
{
    if (fx < 0.0 || fy < 0.0 || fx >= 1.0 || fy >= 1.0) {
        return 0.0;
    }
    const size_t i = (size_t)(fx * mask->width), j = (size_t)(fy * mask->height);
    return mask->amount[j * (size_t)mask->width + i] / 255.0;
}

double thaw_area_amount(const thaw_area *area, const thaw_bundle *b, double x, double y)
{
    const frame f = frame_of(area, b);
    switch (area->shape) {
    case THAW_AREA_BOX:
    case THAW_AREA_DISC:
    case THAW_AREA_RING:
        return in_round(area, x / f.across, y / f.along);
    case THAW_AREA_HOOP:
        return in_hoop(area, f, x, y);
    case THAW_AREA_BAND:
        return in_band(area, f, x, y);
    case THAW_AREA_WEDGE:
        return in_wedge(area, f, x, y);
    case THAW_AREA_WEDGES:
        return in_wedges(area, f, x, y);
    case THAW_AREA_POLYGON:
        return in_polygon(area, f, x, y);
    case THAW_AREA_LINES:
        return in_lines(area, b, f, x, y);
    case THAW_AREA_RINGS:
        return in_rings(area, f, x, y);
    case THAW_AREA_PICTURE:
        return painted(area->mask, x / b->width_m, y / b->length_m);
    }
    return 0.0;
}

int32_t thaw_bundle_top(const thaw_bundle *bundle, double x_m, double y_m)
{
    int i = (int)(x_m / bundle->tray_m), j = (int)(y_m / bundle->tray_m);
    if (x_m < 0.0 || y_m < 0.0 || i >= bundle->tray_nx || j >= bundle->tray_ny) {
        return -1;
    }
    return bundle->top[(size_t)j * (size_t)bundle->tray_nx + (size_t)i];
}

#define MOST_STEPS 4 /* more cells than so many do not lie over one square and open to the sky */

/* Square of how far, in plan. */
static double away(const thaw_bundle *b, int32_t k, double x_m, double y_m)
{
    const double dx = b->x_m[k] - x_m, dy = b->y_m[k] - y_m;
    return dx * dx + dy * dy;
}

/* The next cell along the cloth that lies nearer to the place and no deeper in the bundle; k itself if there is none. */
static int32_t step_nearer(const thaw_bundle *b, int32_t k, double x_m, double y_m)
{
    const int32_t nx = b->nx;
    const bool joins[4] = {k % nx > 0 && thaw_bundle_joins_right(b, (size_t)k - 1), thaw_bundle_joins_right(b, (size_t)k),
                           k >= nx && thaw_bundle_joins_down(b, (size_t)(k - nx)), thaw_bundle_joins_down(b, (size_t)k)};
    const int32_t next[4] = {k - 1, k + 1, k - nx, k + nx};
    int32_t best = k;
    for (int d = 0; d < 4; d++) {
        if (joins[d] && b->depth[next[d]] <= b->depth[k] && away(b, next[d], x_m, y_m) < away(b, best, x_m, y_m)) {
            best = next[d];
        }
    }
    return best;
}

int32_t thaw_bundle_open(const thaw_bundle *bundle, double x_m, double y_m)
{
    int32_t k = thaw_bundle_top(bundle, x_m, y_m);
    if (bundle->tie || k < 0 || (size_t)k >= thaw_bundle_first_hung(bundle)) {
        return k;
    }
    for (int step = 0; step < MOST_STEPS; step++) {
        const int32_t next = step_nearer(bundle, k, x_m, y_m);
        if (next == k) {
            break;
        }
        k = next;
    }
    return k;
}

bool thaw_area_on_cloth(const thaw_area *area, const thaw_bundle *bundle, double x_m, double y_m)
{
    return thaw_area_amount(area, bundle, x_m, y_m) > 0.0 && thaw_bundle_top(bundle, x_m, y_m) >= 0;
}

#define SAMPLES 4 /* along each side of a tray square */

/* Mean amount over a tray square that holds cloth lying on the rack, else 0. */
static double square_amount(const thaw_area *area, const thaw_bundle *b, size_t t)
{
    const int32_t top = b->top[t];
    double sum = 0.0;
    if (top < 0 || (size_t)top >= thaw_bundle_first_hung(b)) {
        return 0.0;
    }
    for (int s = 0; s < SAMPLES * SAMPLES; s++) {
        const double x = (double)(t % (size_t)b->tray_nx) + (s % SAMPLES + 0.5) / SAMPLES;
        const double y = (double)(t / (size_t)b->tray_nx) + (s / SAMPLES + 0.5) / SAMPLES;
        sum += thaw_area_amount(area, b, x * b->tray_m, y * b->tray_m);
    }
    return sum / (SAMPLES * SAMPLES);
}

static size_t count_squares(const thaw_bundle *b)
{
    return (size_t)b->tray_nx * (size_t)b->tray_ny;
}

double thaw_area_size_m2(const thaw_area *area, const thaw_bundle *bundle)
{
    double sum = 0.0;
    for (size_t t = 0; t < count_squares(bundle); t++) {
        sum += square_amount(area, bundle, t);
    }
    return sum * bundle->tray_m * bundle->tray_m;
}

thaw_status thaw_spots_create(const thaw_area *area, const thaw_bundle *bundle, thaw_spots *out, thaw_error *err)
{
    thaw_spots s = {.area = area, .bundle = bundle};
    if ((area->in_metres || area->shape > THAW_AREA_RING) && !(thaw_area_size_m2(area, bundle) > 0.0)) {
        return thaw_fail(err, THAW_ERR_SCENARIO, "area `%s`: no cloth lies inside it; the bundle is %.0f cm wide and %.0f cm long",
                         area->shape == THAW_AREA_PICTURE ? area->picture : area->name, 100.0 * bundle->width_m,
                         100.0 * bundle->length_m);
    }
    if (area->shape > THAW_AREA_RING) {
        const size_t n = count_squares(bundle);
        s.square = thaw_allocate(n, sizeof *s.square, err);
        s.sum = thaw_allocate(n, sizeof *s.sum, err);
        if (!s.square || !s.sum) {
            thaw_spots_destroy(&s);
            return THAW_ERR_MEMORY;
        }
        double sum = 0.0;
        for (size_t t = 0; t < n; t++) {
            const double amount = square_amount(area, bundle, t);
            if (amount > 0.0) {
                s.square[s.n] = (int32_t)t;
                s.sum[s.n++] = sum += amount;
            }
        }
    }
    *out = s;
    return THAW_OK;
}

void thaw_spots_destroy(thaw_spots *spots)
{
    thaw_release(spots->square);
    thaw_release(spots->sum);
    *spots = (thaw_spots){0};
}

/* First square whose sum reaches the goal. */
static size_t find_square(const thaw_spots *s, double goal)
{
    size_t low = 0, high = s->n - 1;
    while (low < high) {
        const size_t middle = (low + high) / 2;
        if (s->sum[middle] < goal) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low;
}

void thaw_spots_place(const thaw_spots *spots, const double u[3], double *x_m, double *y_m)
{
    const thaw_bundle *b = spots->bundle;
    const thaw_area *area = spots->area;
    if (spots->n > 0) {
        const size_t t = (size_t)spots->square[find_square(spots, u[2] * spots->sum[spots->n - 1])];
        *x_m = ((double)(t % (size_t)b->tray_nx) + u[0]) * b->tray_m;
        *y_m = ((double)(t / (size_t)b->tray_nx) + u[1]) * b->tray_m;
        return;
    }
    const frame f = frame_of(area, b);
    *x_m = f.across * (area->x0 + u[0] * (area->x1 - area->x0));
    *y_m = f.along * (area->y0 + u[1] * (area->y1 - area->y0));
}
