#include "look/palette.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "base/alloc.h"
#include "look/colour.h"

#define BOX        4.0 /* L*a*b* units */
#define L_BOXES    26  /* 0 .. 104 */
#define AB_BOXES   64  /* -128 .. 128 */
#define MAX_ROUNDS 100
#define K          THAW_PALETTE

/* A box that holds colours: how many, and their mean. */
typedef struct point {
    double weight, lab[3];
    int owner;
} point;

static int box_index(double value, double low, int n)
{
    int i = (int)floor((value - low) / BOX);
    return i < 0 ? 0 : i >= n ? n - 1 : i;
}

/* Returns the number of boxes in use, packed to the front. */
static size_t fill_boxes(const double *lab, size_t n, point *boxes)
{
    size_t n_boxes = (size_t)L_BOXES * AB_BOXES * AB_BOXES, used = 0;
    for (size_t k = 0; k < n; k++) {
        double at[3] = {lab[k], lab[n + k], lab[2 * n + k]};
        int l = box_index(at[0], 0.0, L_BOXES);
        int a = box_index(at[1], -128.0, AB_BOXES), b = box_index(at[2], -128.0, AB_BOXES);
        point *box = &boxes[((size_t)l * AB_BOXES + (size_t)a) * AB_BOXES + (size_t)b];
        box->weight += 1.0;
        for (int c = 0; c < 3; c++) {
            box->lab[c] += at[c];
        }
    }
    for (size_t i = 0; i < n_boxes; i++) {
        if (boxes[i].weight > 0.0) {
            point p = boxes[i];
            for (int c = 0; c < 3; c++) {
                p.lab[c] /= p.weight;
            }
            boxes[used++] = p;
        }
    }
    return used;
}

static double distance2(const double a[3], const double b[3])
{
    double sum = 0.0;
    for (int c = 0; c < 3; c++) {
        sum += (a[c] - b[c]) * (a[c] - b[c]);
    }
    return sum;
}

static double nearest(const double at[3], double centres[][3], int n, int *owner)
{
    double best = INFINITY;
    for (int c = 0; c < n; c++) {
        double d = distance2(at, centres[c]);
        if (d < best) {
            best = d;
            *owner = c;
        }
    }
    return best;
}

static int seed_centres(const point *points, size_t n, double centres[K][3])
{
    int n_centres = 0;
    while (n_centres < K) {
        size_t best = 0;
        double most = 0.0;
        for (size_t i = 0; i < n; i++) {
            int owner;
            double far = n_centres ? nearest(points[i].lab, centres, n_centres, &owner) : 1.0;
            if (points[i].weight * far > most) {
                most = points[i].weight * far;
                best = i;
            }
        }
        if (most <= 0.0) {
            break;
        }
        memcpy(centres[n_centres++], points[best].lab, sizeof centres[0]);
    }
    return n_centres;
}

/* One round of k-means; false when nothing changed owner. */
static bool move_centres(point *points, size_t n, int n_centres, double centres[K][3],
                         double weights[K])
{
    bool moved = false;
    double sums[K][3] = {{0.0}};
    memset(weights, 0, K * sizeof *weights);
    for (size_t i = 0; i < n; i++) {
        int owner = 0;
        nearest(points[i].lab, centres, n_centres, &owner);
        moved = moved || owner != points[i].owner;
        points[i].owner = owner;
        weights[owner] += points[i].weight;
        for (int c = 0; c < 3; c++) {
            sums[owner][c] += points[i].weight * points[i].lab[c];
        }
    }
    for (int k = 0; k < n_centres; k++) {
        for (int c = 0; c < 3 && weights[k] > 0.0; c++) {
            centres[k][c] = sums[k][c] / weights[k];
        }
    }
    return moved;
}

static void report(int n_centres, double centres[K][3], double weights[K], double total,
                   thaw_look_figures *out)
{
    for (int place = 0; place < K; place++) {
        int best = 0;
        for (int k = 1; k < n_centres; k++) {
            best = weights[k] > weights[best] ? k : best;
        }
        bool spare = weights[best] <= 0.0;
        memcpy(out->palette[place].lab, spare ? out->palette[0].lab : centres[best],
               sizeof centres[0]);
        out->palette[place].share = spare ? 0.0 : weights[best] / total;
        thaw_colour_lab_bytes(out->palette[place].lab, out->palette[place].rgb);
        weights[best] = 0.0;
    }
}

thaw_status thaw_palette_find(const double *lab, size_t n, thaw_look_figures *out, thaw_error *err)
{
    point *points = thaw_allocate((size_t)L_BOXES * AB_BOXES * AB_BOXES, sizeof *points, err);
    if (!points) {
        return THAW_ERR_MEMORY;
    }
    double centres[K][3] = {{0.0}}, weights[K] = {0.0};
    size_t used = fill_boxes(lab, n, points);
    int n_centres = seed_centres(points, used, centres);
    for (size_t i = 0; i < used; i++) {
        points[i].owner = -1;
    }
    for (int round = 0; round < MAX_ROUNDS; round++) {
        if (!move_centres(points, used, n_centres, centres, weights)) {
            break;
        }
    }
    report(n_centres, centres, weights, (double)n, out);
    thaw_release(points);
    return THAW_OK;
}
