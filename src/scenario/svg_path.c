#include "scenario/svg_path.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/alloc.h"

#define PI            3.14159265358979323846
#define MOST_SEGMENTS 2000.0       /* of one curve */
#define FAR           1e7          /* in units of the drawing: no number of a pattern is larger */

void thaw_trace_release(thaw_trace *trace)
{
    thaw_release(trace->at);
    trace->at = NULL;
    trace->n = trace->room = 0;
}

/* ---- tracing ---- */

static void map(const double m[6], double x, double y, double out[2])
{
    out[0] = m[0] * x + m[2] * y + m[4];
    out[1] = m[1] * x + m[3] * y + m[5];
}

static void add(thaw_trace *t, const double at[2])
{
    if (t->n == THAW_SVG_CORNERS) {
        t->too_long = true;
        return;
    }
    if (t->n == t->room) {
        const int room = t->room ? 2 * t->room : 64;
        double(*more)[2] = thaw_allocate((size_t)room, sizeof *more, NULL);
        if (!more) {
            t->starved = true;
            return;
        }
        if (t->n > 0) {
            memcpy(more, t->at, (size_t)t->n * sizeof *more);
        }
        thaw_release(t->at);
        t->at = more;
        t->room = room;
    }
    t->at[t->n][0] = at[0];
    t->at[t->n++][1] = at[1];
}

static void go(thaw_trace *t, double x, double y)
{
    t->here[0] = x;
    t->here[1] = y;
}

static void line(thaw_trace *t, double x, double y)
{
    double at[2];
    map(t->to_m, x, y, at);
    add(t, at);
    go(t, x, y);
}

static void move(thaw_trace *t, double x, double y)
{
    if (t->n_parts == THAW_SVG_PARTS) {
        t->too_long = true;
        return;
    }
    t->parts[t->n_parts].first = t->n;
    t->parts[t->n_parts++].closed = false;
    line(t, x, y);
    t->start[0] = x;
    t->start[1] = y;
}

static void close_part(thaw_trace *t)
{
    if (t->n_parts > 0) {
        t->parts[t->n_parts - 1].closed = true;
    }
    go(t, t->start[0], t->start[1]);
}

/* A part may go on behind a `z` without a new `M`. */
static void open_part(thaw_trace *t)
{
    if (t->n_parts > 0 && t->parts[t->n_parts - 1].closed) {
        move(t, t->here[0], t->here[1]);
    }
}

/* Even steps of the parameter; the error of n of them is at most max |second derivative| / (8 n^2). */
static void cubic(thaw_trace *t, double p[3][2])
{
    double q[4][2], bend = 0.0;
    map(t->to_m, t->here[0], t->here[1], q[0]);
    for (int i = 0; i < 3; i++) {
        map(t->to_m, p[i][0], p[i][1], q[i + 1]);
    }
    for (int i = 0; i < 2; i++) {
        bend = fmax(bend, 6.0 * hypot(q[i][0] - 2.0 * q[i + 1][0] + q[i + 2][0], q[i][1] - 2.0 * q[i + 1][1] + q[i + 2][1]));
    }
    const double wanted = ceil(sqrt(bend / (8.0 * THAW_SVG_FLAT_M)));
    const int n = (int)fmin(fmax(wanted, 1.0), MOST_SEGMENTS);
    for (int i = 1; i <= n; i++) {
        const double u = (double)i / n, v = 1.0 - u;
        double at[2];
        for (int c = 0; c < 2; c++) {
            at[c] = v * v * v * q[0][c] + 3.0 * v * v * u * q[1][c] + 3.0 * v * u * u * q[2][c] + u * u * u * q[3][c];
        }
        add(t, at);
    }
    go(t, p[2][0], p[2][1]);
}

static void quadratic(thaw_trace *t, const double mid[2], const double end[2])
{
    double p[3][2];
    for (int c = 0; c < 2; c++) {
        p[0][c] = t->here[c] + 2.0 / 3.0 * (mid[c] - t->here[c]);
        p[1][c] = end[c] + 2.0 / 3.0 * (mid[c] - end[c]);
        p[2][c] = end[c];
    }
    cubic(t, p);
}

/* Part of an ellipse from angle a to angle b, in cubics of at most an eighth turn (error of each: 4e-6 of the radius). */
static void sweep(thaw_trace *t, const double centre[2], const double radius[2], double turn, double a, double b)
{
    const int n = (int)fmin(64.0, ceil(fabs(b - a) / (0.25 * PI) - 1e-9));
    const double step = (b - a) / (n > 0 ? n : 1), reach = 4.0 / 3.0 * tan(0.25 * step);
    for (int i = 0; i < n; i++) {
        const double from = a + i * step, to = from + step;
        const double x[3] = {cos(from) - reach * sin(from), cos(to) + reach * sin(to), cos(to)};
        const double y[3] = {sin(from) + reach * cos(from), sin(to) - reach * cos(to), sin(to)};
        double p[3][2];
        for (int k = 0; k < 3; k++) {
            p[k][0] = centre[0] + cos(turn) * radius[0] * x[k] - sin(turn) * radius[1] * y[k];
            p[k][1] = centre[1] + sin(turn) * radius[0] * x[k] + cos(turn) * radius[1] * y[k];
        }
        cubic(t, p);
    }
}

/* From end points to centre: SVG 1.1, appendix F.6.5 and F.6.6. */
static void arc(thaw_trace *t, const double v[7], const double end[2])
{
    const double turn = v[2] * PI / 180.0;
    double radius[2] = {fabs(v[0]), fabs(v[1])};
    const double dx = 0.5 * (t->here[0] - end[0]), dy = 0.5 * (t->here[1] - end[1]);
    const double x = cos(turn) * dx + sin(turn) * dy, y = cos(turn) * dy - sin(turn) * dx;
    if (!(radius[0] > 0.0 && radius[1] > 0.0) || (dx == 0.0 && dy == 0.0)) {
        line(t, end[0], end[1]);
        return;
    }
    const double far = x * x / (radius[0] * radius[0]) + y * y / (radius[1] * radius[1]);
    if (far > 1.0) {
        radius[0] *= sqrt(far);
        radius[1] *= sqrt(far);
    }
    double share = far >= 1.0 ? 0.0 : sqrt((1.0 - far) / far);
    share = (v[3] != 0.0) == (v[4] != 0.0) ? -share : share;
    const double cx = share * radius[0] * y / radius[1], cy = -share * radius[1] * x / radius[0];
    const double centre[2] = {cos(turn) * cx - sin(turn) * cy + 0.5 * (t->here[0] + end[0]),
                              sin(turn) * cx + cos(turn) * cy + 0.5 * (t->here[1] + end[1])};
    const double a = atan2((y - cy) / radius[1], (x - cx) / radius[0]);
    double b = atan2((-y - cy) / radius[1], (-x - cx) / radius[0]);
    if (v[4] != 0.0 && b < a) {
        b += 2.0 * PI;
    } else if (v[4] == 0.0 && b > a) {
        b -= 2.0 * PI;
    }
    sweep(t, centre, radius, turn, a, b);
    go(t, end[0], end[1]);
}

void thaw_svg_ellipse(const double centre[2], const double radius[2], thaw_trace *trace)
{
    move(trace, centre[0] + radius[0], centre[1]);
    sweep(trace, centre, radius, 0.0, 0.0, 2.0 * PI);
    close_part(trace);
}

void thaw_svg_rect(const double corner[2], const double size[2], const double round[2], thaw_trace *trace)
{
    const double r[2] = {fmin(round[0], 0.5 * size[0]), fmin(round[1], 0.5 * size[1])};
    const double x1 = corner[0] + size[0], y1 = corner[1] + size[1];
    const double centres[4][2] = {{x1 - r[0], corner[1] + r[1]}, {x1 - r[0], y1 - r[1]}, {corner[0] + r[0], y1 - r[1]},
                                  {corner[0] + r[0], corner[1] + r[1]}};
    const bool is_round = r[0] > 0.0 && r[1] > 0.0;
    if (is_round) {
        move(trace, corner[0] + r[0], corner[1]);
        for (int i = 0; i < 4; i++) {
            const double a = 0.5 * PI * (i - 1);
            line(trace, centres[i][0] + r[0] * cos(a), centres[i][1] + r[1] * sin(a));
            sweep(trace, centres[i], r, 0.0, a, a + 0.5 * PI);
        }
    } else {
        move(trace, corner[0], corner[1]);
        line(trace, x1, corner[1]);
        line(trace, x1, y1);
        line(trace, corner[0], y1);
    }
    close_part(trace);
}

/* ---- reading ---- */

static const char *skip(const char *at)
{
    return at + strspn(at, " \t\r\n,");
}

/* Length of the number at `at` as SVG writes it: 1, -.5, 1.e3; 0 for none. */
static size_t number_length(const char *at)
{
    size_t n = (*at == '+' || *at == '-'), digits;
    digits = strspn(at + n, "0123456789");
    n += digits;
    if (at[n] == '.') {
        const size_t more = strspn(at + n + 1, "0123456789");
        n += 1 + more;
        digits += more;
    }
    if (digits == 0) {
        return 0;
    }
    if (at[n] == 'e' || at[n] == 'E') {
        const size_t sign = at[n + 1] == '+' || at[n + 1] == '-';
        const size_t more = strspn(at + n + 1 + sign, "0123456789");
        n += more ? 1 + sign + more : 0;
    }
    return n;
}

bool thaw_svg_number(const char **text, double *value)
{
    char word[64];
    const char *at = skip(*text);
    const size_t n = number_length(at);
    if (n == 0 || n >= sizeof word) {
        return false;
    }
    memcpy(word, at, n);
    word[n] = '\0';
    *value = strtod(word, NULL);
    *text = skip(at + n);
    return fabs(*value) <= FAR;
}

bool thaw_svg_unit(const char *unit, double *metres)
{
    static const struct {
        const char *name;
        double metres;
    } units[] = {{"", 0.0254 / 96.0},   {"px", 0.0254 / 96.0}, {"pt", 0.0254 / 72.0}, {"pc", 0.0254 / 6.0},
                 {"mm", 0.001},         {"cm", 0.01},          {"in", 0.0254},        {"Q", 0.00025}};
    for (size_t i = 0; i < sizeof units / sizeof *units; i++) {
        if (strcmp(unit, units[i].name) == 0) {
            *metres = units[i].metres;
            return true;
        }
    }
    return false;
}

/* A flag of an arc may stand right before the next number: "a1 1 0 01.5 2". */
static bool read_flag(const char **text, double *value)
{
    const char *at = skip(*text);
    if (*at != '0' && *at != '1') {
        return false;
    }
    *value = *at - '0';
    *text = skip(at + 1);
    return true;
}

static int count_of(char letter)
{
    static const struct {
        char letter;
        int n;
    } counts[] = {{'m', 2}, {'l', 2}, {'h', 1}, {'v', 1}, {'c', 6}, {'s', 4}, {'q', 4}, {'t', 2}, {'a', 7}, {'z', 0}};
    for (size_t i = 0; i < sizeof counts / sizeof *counts; i++) {
        if (counts[i].letter == letter) {
            return counts[i].n;
        }
    }
    return -1;
}

/* State between the commands of a path: the last control point, mirrored by s and t. */
typedef struct pen {
    char last;                     /* lower case */
    double control[2];
} pen;

static void mirrored(const thaw_trace *t, const pen *p, const char *after, double out[2])
{
    const bool is_near = p->last && strchr(after, p->last);
    for (int c = 0; c < 2; c++) {
        out[c] = is_near ? 2.0 * t->here[c] - p->control[c] : t->here[c];
    }
}

static void draw(thaw_trace *t, pen *p, char letter, const double v[7])
{
    double c[3][2];
    memcpy(c, v, sizeof c);
    if (letter != 'm' && letter != 'z') {
        open_part(t);
    }
    switch (letter) {
    case 'm':
        move(t, v[0], v[1]);
        break;
    case 'c':
        memcpy(p->control, c[1], sizeof p->control);
        cubic(t, c);
        break;
    case 's':
        memcpy(&c[1], v, 4 * sizeof *v);
        mirrored(t, p, "cs", c[0]);
        memcpy(p->control, c[1], sizeof p->control);
        cubic(t, c);
        break;
    case 'q':
        memcpy(p->control, c[0], sizeof p->control);
        quadratic(t, c[0], c[1]);
        break;
    case 't':
        mirrored(t, p, "qt", c[1]);
        memcpy(p->control, c[1], sizeof p->control);
        quadratic(t, c[1], c[0]);
        break;
    case 'a':
        arc(t, v, v + 5);
        break;
    case 'z':
        close_part(t);
        break;
    default:
        line(t, v[0], v[1]);
        break;
    }
    p->last = letter;
}

/* Numbers of one command, made absolute; h and v become whole lines. */
static bool read_values(const char **at, char letter, bool is_relative, const thaw_trace *t, double v[7])
{
    const int n = count_of(letter);
    for (int i = 0; i < n; i++) {
        if (!(letter == 'a' && (i == 3 || i == 4) ? read_flag(at, &v[i]) : thaw_svg_number(at, &v[i]))) {
            return false;
        }
    }
    if (letter == 'h' || letter == 'v') {
        const int along = letter == 'v';
        const double value = v[0] + (is_relative ? t->here[along] : 0.0);
        v[along] = value;
        v[!along] = t->here[!along];
    } else if (is_relative) {
        for (int i = letter == 'a' ? 5 : 0; i < n; i++) {
            v[i] += t->here[letter == 'a' ? i - 5 : i % 2];
        }
    }
    return true;
}

bool thaw_svg_path(const char *d, thaw_trace *trace, char *why, size_t why_size)
{
    const char *at = skip(d);
    pen p = {0, {0.0, 0.0}};
    char letter = 0;
    bool is_relative = false;
    while (*at) {
        const char lower = (char)(*at >= 'A' && *at <= 'Z' ? *at + 32 : *at);
        double v[7] = {0};
        if (count_of(lower) >= 0) {
            letter = lower;
            is_relative = lower == *at;
            at = skip(at + 1);
        } else if (letter == 0 || letter == 'z') {
            snprintf(why, why_size, "the path has `%.12s` where a command is wanted (M L H V C S Q T A Z)", at);
            return false;
        }
        if (trace->n_parts == 0 && letter != 'm') {
            snprintf(why, why_size, "the path does not begin with M");
            return false;
        }
        const char *before = at;
        if (!read_values(&at, letter, is_relative, trace, v)) {
            snprintf(why, why_size, "the path has `%.12s` where %d numbers are wanted for `%c`", before, count_of(letter), letter);
            return false;
        }
        draw(trace, &p, letter, v);
        letter = letter == 'm' ? 'l' : letter; /* more pairs behind M are lines */
    }
    return true;
}

bool thaw_svg_points(const char *points, bool closed, thaw_trace *trace, char *why, size_t why_size)
{
    const char *at = skip(points);
    for (bool is_first = true; *at; is_first = false) {
        double v[2];
        const char *before = at;
        if (!thaw_svg_number(&at, &v[0]) || !thaw_svg_number(&at, &v[1])) {
            snprintf(why, why_size, "points: `%.12s` where a pair of numbers is wanted", before);
            return false;
        }
        if (is_first) {
            move(trace, v[0], v[1]);
        } else {
            line(trace, v[0], v[1]);
        }
    }
    if (closed) {
        close_part(trace);
    }
    return true;
}

static void multiply(double m[6], const double k[6])
{
    const double r[6] = {m[0] * k[0] + m[2] * k[1], m[1] * k[0] + m[3] * k[1], m[0] * k[2] + m[2] * k[3],
                         m[1] * k[2] + m[3] * k[3], m[0] * k[4] + m[2] * k[5] + m[4], m[1] * k[4] + m[3] * k[5] + m[5]};
    memcpy(m, r, sizeof r);
}

static bool one_transform(const char *name, size_t length, const double *v, int n, double m[6])
{
    const double angle = v[0] * PI / 180.0;
    double k[6] = {1.0, 0.0, 0.0, 1.0, 0.0, 0.0};
#define IS(word) (length == strlen(word) && strncmp(name, word, length) == 0)
    if (IS("matrix") && n == 6) {
        memcpy(k, v, sizeof k);
    } else if (IS("translate") && (n == 1 || n == 2)) {
        k[4] = v[0];
        k[5] = v[1];
    } else if (IS("scale") && (n == 1 || n == 2)) {
        k[0] = v[0];
        k[3] = n == 2 ? v[1] : v[0];
    } else if (IS("rotate") && (n == 1 || n == 3)) {
        const double r[6] = {cos(angle), sin(angle), -sin(angle), cos(angle),
                             v[1] - cos(angle) * v[1] + sin(angle) * v[2], v[2] - sin(angle) * v[1] - cos(angle) * v[2]};
        memcpy(k, r, sizeof k);
    } else if (IS("skewX") && n == 1) {
        k[2] = tan(angle);
    } else if (IS("skewY") && n == 1) {
        k[1] = tan(angle);
    } else {
        return false;
    }
#undef IS
    multiply(m, k);
    return true;
}

bool thaw_svg_transform(const char *text, double m[6], char *why, size_t why_size)
{
    for (const char *at = skip(text); *at;) {
        const char *name = at, *open = strchr(at, '(');
        double v[6] = {0};
        int n = 0;
        at = open ? skip(open + 1) : at;
        while (open && n < 6 && thaw_svg_number(&at, &v[n])) {
            n++;
        }
        size_t length = open ? (size_t)(open - name) : 0;
        while (length > 0 && strchr(" \t\r\n", name[length - 1])) {
            length--;
        }
        if (!open || *at != ')' || !one_transform(name, length, v, n, m)) {
            snprintf(why, why_size, "transform: `%.30s` is not understood", name);
            return false;
        }
        at = skip(at + 1);
    }
    return true;
}
