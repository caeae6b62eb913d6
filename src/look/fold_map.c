#include "look/fold_map.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <string.h>

#include "base/alloc.h"
#include "base/error.h"
#include "look/colour.h"
#include "look/interpolate.h"

#define LINE_M    0.10
#define PIXEL_M   0.001
#define CUT_CELLS 3.0
#define DASH      6 /* pixels on, pixels off */
#define PI        3.141592653589793
/* The ramp in L*a*b*: an indigo from near white to near black. */
#define RAMP_LIGHT  95.0
#define RAMP_DARK   22.0
#define RAMP_HUE    4.80 /* radians */
#define RAMP_CHROMA 34.0
#define MAX_DEPTH   65535
#define NO_CLOTH (-1)
#define GROUND    205 /* grey of what is no cloth */
#define RARE        200 /* one cell in so many may lie deeper than the ramp shows */

static size_t count_deeper(const thaw_bundle *bundle, int depth)
{
    size_t n = 0;
    for (size_t k = 0; k < bundle->n; k++) {
        n += bundle->depth[k] >= depth;
    }
    return n;
}

/* Layers above which the ramp gets no darker: the deepest half per cent must not flatten the rest.
 */
static int deepest(const thaw_bundle *bundle)
{
    int low = 1, high = MAX_DEPTH;
    while (low < high) { /* the largest depth that enough cells reach */
        int middle = (low + high + 1) / 2;
        if (count_deeper(bundle, middle) > bundle->n / RARE) {
            low = middle;
        } else {
            high = middle - 1;
        }
    }
    return low;
}

static void ramp(int layers, int most, uint8_t rgb[3])
{
    double t = layers < most ? (double)layers / most : 1.0;
    double chroma =
        RAMP_CHROMA * sin(PI * (0.08 + 0.72 * t)); /* most in the middle, some left in the dark */
    double lab[3] = {RAMP_LIGHT + t * (RAMP_DARK - RAMP_LIGHT), chroma * cos(RAMP_HUE),
                     chroma * sin(RAMP_HUE)};
    thaw_colour_lab_bytes(lab, rgb);
}

/* A picture in work, with the place on the tray of every pixel; NAN where there is no cloth. */
typedef struct map {
    int width, height;
    double pixel_m;
    uint8_t *rgb;     /* own until handed over */
    float *x_m, *y_m; /* own */
} map;

static thaw_status map_create(map *m, int width, int height, double pixel_m, thaw_error *err)
{
    size_t n = (size_t)width * (size_t)height;
    m->width = width;
    m->height = height;
    m->pixel_m = pixel_m;
    bool done = (m->rgb = thaw_allocate(3 * n, 1, err)) &&
                (m->x_m = thaw_allocate(n, sizeof(float), err)) &&
                (m->y_m = thaw_allocate(n, sizeof(float), err));
    return done ? THAW_OK : THAW_ERR_MEMORY;
}

static void map_release(map *m)
{
    thaw_release(m->rgb);
    thaw_release(m->x_m);
    thaw_release(m->y_m);
}

static void map_hand_over(map *m, thaw_image *out)
{
    *out = (thaw_image){m->width, m->height, m->pixel_m, m->rgb};
    m->rgb = NULL;
}

/* A line runs between two pixels when a multiple of LINE_M lies between their places. */
static bool crosses(float a, float b, double limit_m)
{
    return fabsf(a - b) < (float)limit_m && floor((double)a / LINE_M) != floor((double)b / LINE_M);
}

static bool on_line(const map *m, const float *place, int x, int y, double limit_m)
{
    size_t at = (size_t)y * (size_t)m->width + (size_t)x;
    return (x + 1 < m->width && crosses(place[at], place[at + 1], limit_m)) ||
           (y + 1 < m->height && crosses(place[at], place[at + (size_t)m->width], limit_m));
}

static void draw_lines(map *m, double cell_m)
{
    double limit_m = CUT_CELLS * cell_m;
    for (int y = 0; y < m->height; y++) {
        for (int x = 0; x < m->width; x++) {
            bool broken = (x + y) / DASH % 2 == 0 && on_line(m, m->y_m, x, y, limit_m);
            if (broken || on_line(m, m->x_m, x, y, limit_m)) {
                uint8_t *p = m->rgb + 3 * ((size_t)y * (size_t)m->width + (size_t)x);
                memset(p, p[1] > 110 ? 45 : 250, 3);
            }
        }
    }
}

static int clamp(int i, int n)
{
    return i < 0 ? 0 : i >= n ? n - 1 : i;
}

/* Place between four cells; NAN across a cut. */
static float between(const thaw_bundle *b, const double *place, const size_t k[4], double tx,
                     double ty)
{
    double low = place[k[0]], high = place[k[0]];
    for (int i = 0; i < 4; i++) {
        if (!thaw_bundle_is_cloth(b, k[i]) || (b->panel && b->panel[k[i]] != b->panel[k[0]])) {
            return NAN;
        }
    }
    if (k[3] >= thaw_bundle_first_hung(b)) {
        return NAN; /* hangs: has no place in the bundle */
    }
    for (int i = 1; i < 4; i++) {
        low = fmin(low, place[k[i]]);
        high = fmax(high, place[k[i]]);
    }
    if (high - low > CUT_CELLS * b->cell_m) {
        return NAN;
    }
    double upper = place[k[0]] + tx * (place[k[1]] - place[k[0]]);
    double lower = place[k[2]] + tx * (place[k[3]] - place[k[2]]);
    return (float)(upper + ty * (lower - upper));
}

static void fill_unfolded(map *m, const thaw_bundle *b, int scale, int most)
{
    for (int y = 0; y < m->height; y++) {
        double tx, ty;
        int last = 0;
        int j = thaw_interpolate_place(y, scale, &ty);
        size_t j0 = (size_t)clamp(j, b->ny), j1 = (size_t)clamp(j + 1, b->ny);
        for (int x = 0; x < m->width; x++) {
            int i = thaw_interpolate_place(x, scale, &tx);
            size_t i0 = (size_t)clamp(i, b->nx), i1 = (size_t)clamp(i + 1, b->nx),
                   nx = (size_t)b->nx;
            size_t k[4] = {j0 * nx + i0, j0 * nx + i1, j1 * nx + i0, j1 * nx + i1};
            size_t at = (size_t)y * (size_t)m->width + (size_t)x;
            m->x_m[at] = between(b, b->x_m, k, tx, ty);
            m->y_m[at] = between(b, b->y_m, k, tx, ty);
            const size_t here = (size_t)(y / scale) * nx + (size_t)(x / scale);
            int depth = thaw_bundle_is_cloth(b, here) ? b->depth[here] : NO_CLOTH;
            if (depth == NO_CLOTH) {
                memset(m->rgb + 3 * at, GROUND, 3);
            } else if (x > 0 && depth == last) {
                memcpy(m->rgb + 3 * at, m->rgb + 3 * (at - 1), 3);
            } else {
                ramp(depth, most, m->rgb + 3 * at);
            }
            last = depth;
        }
    }
}

static void fill_plan(map *m, const thaw_bundle *b, int scale, int most)
{
    for (int y = 0; y < m->height; y++) {
        for (int x = 0; x < m->width; x++) {
            size_t at = (size_t)y * (size_t)m->width + (size_t)x;
            int layers = b->layers[(size_t)(y / scale) * (size_t)b->tray_nx + (size_t)(x / scale)];
            m->x_m[at] = layers ? (float)((x + 0.5) * m->pixel_m) : NAN;
            m->y_m[at] = layers ? (float)((y + 0.5) * m->pixel_m) : NAN;
            if (layers) {
                ramp(layers - 1, most, m->rgb + 3 * at);
            } else {
                memset(m->rgb + 3 * at, 255, 3);
            }
        }
    }
}

thaw_status thaw_look_fold_map(const thaw_bundle *bundle, thaw_image *unfolded, thaw_image *plan,
                               thaw_error *err)
{
    map flat = {0}, above = {0};
    int scale = (int)(bundle->cell_m / PIXEL_M + 0.5);
    scale = scale < 1 ? 1 : scale;
    double pixel_m = bundle->cell_m / scale;
    thaw_status status = map_create(&flat, bundle->nx * scale, bundle->ny * scale, pixel_m, err);
    if (status == THAW_OK) {
        /* What hangs lies beyond the bundle on the tray and is left out. */
        int nx = !bundle->hung_rows ? bundle->tray_nx : (int)ceil(bundle->width_m / bundle->tray_m - 1e-6);
        int ny = !bundle->hung_rows ? bundle->tray_ny : (int)ceil(bundle->length_m / bundle->tray_m - 1e-6);
        status = map_create(&above, nx * scale, ny * scale, pixel_m, err);
    }
    if (status == THAW_OK) {
        int most = deepest(bundle);
        fill_unfolded(&flat, bundle, scale, most);
        fill_plan(&above, bundle, scale, most);
        draw_lines(&flat, bundle->cell_m);
        draw_lines(&above, bundle->cell_m);
        map_hand_over(&flat, unfolded);
        map_hand_over(&above, plan);
    }
    map_release(&flat);
    map_release(&above);
    return status;
}

void thaw_look_fold_legend(const thaw_bundle *bundle, thaw_legend *out)
{
    int most = deepest(bundle);
    memset(out, 0, sizeof *out);
    out->line_m = LINE_M;
    /* Every number of layers, or where they are too many every second, third, ... */
    const int stride = most < THAW_LEGEND_STEPS ? 1 : (most + THAW_LEGEND_STEPS - 2) / (THAW_LEGEND_STEPS - 1);
    for (int layers = 0; layers <= most; layers += stride) {
        out->layers[out->n] = layers;
        ramp(layers, most, out->rgb[out->n]);
        out->n++;
    }
}
