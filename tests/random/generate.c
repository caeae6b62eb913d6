#include "generate.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "thawprint/catalogue.h"

typedef struct source {
    uint64_t state;
    char *text;
    size_t n;
} source;

/* SplitMix64 (Steele, Lea and Flood 2014). */
static uint64_t next(source *s)
{
    uint64_t z = (s->state += 0x9e3779b97f4a7c15u);
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return z ^ (z >> 31);
}

/* 0 .. n - 1 */
static int below(source *s, int n)
{
    return (int)(next(s) % (uint64_t)n);
}

static double between(source *s, double low, double high)
{
    return low + (high - low) * (double)(next(s) >> 11) * 0x1p-53;
}

/* Each power of ten as likely. */
static double over_powers(source *s, double low, double high)
{
    return low * pow(high / low, between(s, 0, 1));
}

static int once_in(source *s, int n)
{
    return below(s, n) == 0;
}

static void add(source *s, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    const int n = vsnprintf(s->text + s->n, GENERATED_MOST - s->n, format, args);
    va_end(args);
    s->n += (size_t)n < GENERATED_MOST - s->n ? (size_t)n : 0;
}

#define PICK(s, list) (list)[below((s), (int)(sizeof(list) / sizeof *(list)))]

static const char *any_of(source *s, const char *kind)
{
    return thaw_catalogue_name(kind, below(s, thaw_catalogue_count(kind)));
}

static void add_place(source *s)
{
    add(s, "%.0f %%, %.0f %%", between(s, 0, 100), between(s, 0, 100));
}

static void add_shape(source *s)
{
    switch (below(s, 8)) {
    case 0:
        add(s, "{ box: [%d %%, %d %%, %d %%, %d %%] }", below(s, 50), below(s, 50), 55 + below(s, 45), 55 + below(s, 45));
        return;
    case 1:
        add(s, "{ disc: [");
        add_place(s);
        add(s, ", %.1f cm] }", between(s, 1, 4));
        return;
    case 2:
        add(s, "{ ring: [50 %%, 50 %%, %.1f cm, %.1f cm] }", between(s, 2, 4), between(s, 0.5, 1.5));
        return;
    case 3:
        add(s, "{ lines: [%d deg, %.1f cm, %.1f cm] }", below(s, 90), between(s, 2, 4), between(s, 0.5, 1.5));
        return;
    case 4:
        add(s, "{ wedge: [50 %%, 50 %%, %d deg, %d deg] }", below(s, 180), 190 + below(s, 160));
        return;
    case 5:
        add(s, "{ band: [");
        add_place(s);
        add(s, ", ");
        add_place(s);
        add(s, ", %.1f cm] }", between(s, 1, 3));
        return;
    case 6:
        add(s, "{ polygon: [[0 %%, 0 %%], [%d %%, 10 %%], [50 %%, %d %%]] }", 60 + below(s, 40), 60 + below(s, 40));
        return;
    default:
        add(s, "{ rings: [50 %%, 50 %%, %.1f cm, %.1f cm] }", between(s, 1.5, 3), between(s, 0.5, 1.4));
    }
}

static void add_area(source *s)
{
    if (once_in(s, 2)) {
        return;
    }
    add(s, ", area: ");
    if (once_in(s, 2)) {
        add(s, "%s", any_of(s, "areas"));
    } else {
        add_shape(s);
    }
}

/* Some folds go only into flat cloth. */
static void add_fold(source *s, int first)
{
    static const char *const along[] = {"width", "length"};
    static const char *const corners[] = {"top left", "top right", "bottom right", "bottom left"};
    static const char *const tight[] = {"loose", "firm", "tight"};
    switch (below(s, first ? 9 : 4)) {
    case 0:
        add(s, "  - accordion: { pleats: %d, along: %s }\n", 2 + below(s, 4), PICK(s, along));
        return;
    case 1:
        add(s, "  - scrunch: { to: %.0f %% }\n", between(s, 25, 100));
        return;
    case 2:
        add(s, "  - tie: { along: %s, number: %d, band: %.0f mm, tightness: %.0f %% }\n", PICK(s, along), 1 + below(s, 2),
            between(s, 2, 12), between(s, 5, 100));
        return;
    case 3:
        add(s, "  - triangle: { along: %s }\n", PICK(s, along));
        return;
    case 7:
        add(s, "  - fan: { pleats: %d, from: %s }\n", 2 + below(s, 3), PICK(s, corners));
        return;
    case 8:
        add(s, "  - radial: { order: %d, waviness: %.0f mm }\n", 2 + below(s, 4), between(s, 0, 6));
        return;
    case 4:
        add(s, "  - twist: { arms: %d, to: %.0f %% }\n", 3 + below(s, 8), between(s, 30, 80));
        return;
    case 5:
        add(s, "  - roll: { along: %s, pole: %.1f cm }\n", PICK(s, along), between(s, 0.5, 3));
        return;
    case 6:
        add(s, "  - gather: { along: %s, rows: %d, to: %.0f %%, tightness: %s }\n", PICK(s, along), 1 + below(s, 3),
            between(s, 40, 90), PICK(s, tight));
        return;
    default:
        add(s, "  - fan: { pleats: 3 }\n");
    }
}

static void add_ice(source *s, double cloth_m2)
{
    const int n = 1 + below(s, 3);
    add(s, "ice:\n");
    for (int i = 0; i < n; i++) {
        add(s, "  - { kind: %s, ", any_of(s, "ices"));
        if (once_in(s, 3)) {
            add(s, "depth: %.1f cm", between(s, 0.3, 4));
        } else {
            add(s, "mass: %.3g g", between(s, 0.4, 5) * 1e3 * cloth_m2 + 1);
        }
        add_area(s);
        if (once_in(s, 4)) {
            add(s, ", temperature: %.0f degC", between(s, -25, 0));
        }
        if (once_in(s, 4)) {
            add(s, ", at: %.1f h", between(s, 0, 5));
        }
        add(s, " }\n");
    }
}

/* ---- cloths and dyes of one's own ---- */

#define OWN_CLOTH "wreck sailcloth"
#define OWN_DYE   "kraken ink"
#define OWN_MIX   "storm"

/* What is decided about them comes from a stream of its own, so that all else of a seed is as without them. */
typedef struct own {
    source s;
    int cloth, dye, mix;
} own;

static own own_of(uint64_t seed, char *text)
{
    own o = {.s = {seed * 0x2545f4914f6cdd1du + 9, text, 0}};
    o.cloth = once_in(&o.s, 3);
    o.dye = once_in(&o.s, 3);
    o.mix = o.dye && once_in(&o.s, 3);
    return o;
}

/* At times a limit itself. */
static double figure(source *s, double lowest, double low, double high, double highest)
{
    const int which = below(s, 16);
    return which == 0 ? lowest : which == 1 ? highest : over_powers(s, low, high);
}

/* Mass and pick-up that fit thickness and pores. */
static void add_make(source *s)
{
    const double thick_mm = figure(s, 0.05, 0.1, 2, 6), fill = between(s, 0.15, 0.6), bound = between(s, 0.05, 0.4);
    const double full = bound + (1.0 - fill) / fill / 1.54; /* cotton, or near it */
    const double pick_up = bound + 0.06 + between(s, 0.05, 0.9) * (full - bound - 0.06);
    add(s, ", thickness: %.3f mm, mass: %.1f g/m2, bound-water: %.1f %%, pick-up: %.1f %%", thick_mm, 1540.0 * fill * thick_mm,
        1e2 * bound, 1e2 * (pick_up < 7.5 ? pick_up : 7.5));
}

static void add_own_cloth(source *s, const char *like)
{
    add(s, "own-cloths:\n  - { name: " OWN_CLOTH ", like: %s", like);
    if (once_in(s, 2)) {
        add_make(s);
    }
    if (once_in(s, 2)) {
        add(s, ", conductivity: %.4g mm/s", figure(s, 1e-4, 1e-3, 3, 10));
    }
    if (once_in(s, 2)) {
        add(s, ", entry-head: %.3g mm", figure(s, 5, 8, 300, 1000));
    }
    if (once_in(s, 3)) {
        add(s, ", lambda: %.2f", figure(s, 0.3, 0.4, 3, 5));
    }
    if (once_in(s, 3)) {
        add(s, ", weft-ratio: %.2f", figure(s, 0.1, 0.3, 3, 10));
    }
    if (once_in(s, 3)) {
        add(s, ", dye-ceiling: %.3g g/kg, colour-yield: %.2f, reaction-ratio: %.2f", figure(s, 1, 5, 100, 200),
            figure(s, 0.1, 0.3, 3, 5), figure(s, 0.01, 0.1, 3, 10));
    }
    if (once_in(s, 3)) {
        add(s, ", undyed-warmth: %.2f", between(s, 0, 3));
    }
    add(s, " }\n");
}

static void add_own_dye(source *s)
{
    add(s, "own-dyes:\n  - { name: " OWN_DYE ", like: %s", any_of(s, "dyes"));
    if (once_in(s, 3)) {
        add(s, ", grain: %.3g um", figure(s, 1, 5, 500, 2000));
    }
    if (once_in(s, 3)) {
        add(s, ", solubility: %.3g g/L", figure(s, 0.1, 1, 300, 1000));
    }
    if (once_in(s, 3)) {
        add(s, ", diffusivity: %.3ge-10 m2/s", figure(s, 0.1, 0.5, 10, 20));
    }
    if (once_in(s, 3)) {
        add(s, ", sorption: %.3g L/kg", figure(s, 0.1, 0.3, 100, 1000));
    }
    if (once_in(s, 3)) {
        add(s, ", fixation: %.3g %%/h, hydrolysis: %.3g %%/h", figure(s, 0, 1, 1000, 36000), figure(s, 0, 1, 1000, 36000));
    }
    if (once_in(s, 3)) {
        add(s, ", fixation-energy: %.0f kJ/mol, hydrolysis-energy: %.0f kJ/mol", figure(s, 10, 30, 150, 200),
            figure(s, 10, 30, 150, 200));
    }
    if (once_in(s, 3)) {
        add(s, ", ceiling: %.3g g/kg", figure(s, 1, 5, 100, 200));
    }
    if (once_in(s, 3)) {
        add(s, ", bands: [[%.0f, %.0f, %.2f], [%.0f, %.0f, %.3f]]", between(s, 300, 900), figure(s, 2, 10, 100, 500),
            figure(s, 0, 0.1, 3, 20), between(s, 300, 900), between(s, 2, 500), between(s, 0, 0.2));
    }
    add(s, " }\n");
}

static void add_own(own *o, source *s, const char *like)
{
    o->s.n = s->n;
    if (o->cloth) {
        add_own_cloth(&o->s, like);
    }
    if (o->dye) {
        add_own_dye(&o->s);
    }
    if (o->mix) {
        add(&o->s, "own-colours:\n  - { name: " OWN_MIX ", parts: { " OWN_DYE ": %d, turquoise: %.1f } }\n", 1 + below(&o->s, 5),
            between(&o->s, 0.1, 3));
    }
    s->n = o->s.n;
}

/* ---- */

static void add_colour(source *s, own *o)
{
    const char *mine = !o->dye || once_in(&o->s, 2) ? NULL : (o->mix && once_in(&o->s, 2) ? OWN_MIX : OWN_DYE);
    if (once_in(s, 4)) {
        const double yellow = between(s, 0.1, 2);
        const int blue = 1 + below(s, 4), is_part = mine && strcmp(mine, OWN_DYE) == 0;
        add(s, "colour: { blue: %d, %s: 1, golden yellow: %.1f }", blue, is_part ? mine : "violet", yellow);
    } else {
        const char *listed = any_of(s, "colours");
        add(s, "colour: %s", mine ? mine : listed);
    }
}

static void add_dye(source *s, own *o)
{
    const int n = below(s, 4);
    if (n == 0 && once_in(s, 3)) {
        add(s, "dye: none\n");
        return;
    }
    add(s, "dye:\n");
    for (int i = 0; i <= n; i++) {
        add(s, "  - { ");
        add_colour(s, o);
        const int way = below(s, 4);
        if (way == 0) {
            add(s, ", strength: %.1f g/L, volume: %.1f mL", between(s, 1, 60), between(s, 1, 8));
        } else if (way == 1) {
            add(s, ", on-weight: %.2f %%", between(s, 0.05, 8));
        } else {
            add(s, ", mass: %.0f mg", between(s, 1, 400));
        }
        add_area(s);
        add(s, ", clumps: %.0f %%", between(s, 0, 100));
        if (once_in(s, 4)) {
            add(s, ", place: under ice");
        }
        if (way != 0 && once_in(s, 4)) {
            add(s, ", lumps: %.0f %%", between(s, 0, 100));
        }
        add(s, " }\n");
    }
    if (once_in(s, 4)) {
        add(s, "soda-ash:\n  - { mass: %.0f mg, clumps: %d %% }\n", between(s, 10, 900), below(s, 101));
    }
}

static void add_room(source *s)
{
    add(s, "room:\n");
    if (once_in(s, 4)) {
        add(s, "  temperature:\n    - 0 h: %.0f degC\n    - %.1f h: %.0f degC\n", between(s, 5, 35), between(s, 1, 9), between(s, 1, 45));
    } else {
        add(s, "  temperature: %.1f degC\n", between(s, 1, 45));
    }
    add(s, "  humidity: %.0f %%\n  %s: %.1f m/s\n", between(s, 5, 100), once_in(s, 2) ? "draught" : "wind", between(s, 0, 5));
    if (once_in(s, 4)) {
        add(s, "  sky: open\n  cloud: %d %%\n", below(s, 101));
    }
    if (once_in(s, 3)) {
        add(s, "  cover: film\n");
    }
}

static void add_set_up(source *s)
{
    static const char *const stands[] = {"tub", "colander", "bucket"};
    if (once_in(s, 2)) {
        add(s, "set-up: { stand: %s, width: %.0f cm, length: %.0f cm }\n", PICK(s, stands), between(s, 12, 40),
            between(s, 12, 40));
    }
}

void generate(uint64_t seed, char text[GENERATED_MOST])
{
    source s = {seed * 2654435761u + 1, text, 0};
    const double width_cm = between(&s, 5.1, 12), length_cm = between(&s, 5.1, 12);
    add(&s, "title: Cloth %llu\n", (unsigned long long)seed);
    const char *listed = any_of(&s, "cloths");
    own o = own_of(seed, text);
    add_own(&o, &s, listed);
    add(&s, "cloth: { kind: %s, width: %.1f cm, length: %.1f cm", o.cloth ? OWN_CLOTH : listed, width_cm, length_cm);
    add(&s, once_in(&s, 5) ? ", fibres: { cotton: 60 %%, polyester: 40 %% } }\n" : " }\n");
    if (once_in(&s, 2)) {
        add(&s, "prepare: { soda-ash: %.0f g/L%s }\n", between(&s, 0, 120), once_in(&s, 4) ? ", start: dry" : "");
    }
    const int n_folds = below(&s, 4);
    if (n_folds > 0) {
        add(&s, "fold:\n");
    }
    for (int i = 0; i < n_folds; i++) {
        add_fold(&s, i == 0);
    }
    add_ice(&s, width_cm * length_cm * 1e-4);
    add_dye(&s, &o);
    add_set_up(&s);
    add_room(&s);
    add(&s, "leave: %.2f h\nseed: %d\ndetail: draft\n", between(&s, 0.1, 20), below(&s, 1000));
}

/* ---- spoiling ---- */

static void cut(char *text, size_t *n, size_t at, size_t length)
{
    length = length < *n - at ? length : *n - at;
    memmove(text + at, text + at + length, *n - at - length);
    *n -= length;
}

static void put(char *text, size_t *n, size_t at, const char *what, size_t length)
{
    if (*n + length < GENERATED_MOST) {
        memmove(text + at + length, text + at, *n - at);
        memcpy(text + at, what, length);
        *n += length;
    }
}

static void spoil(source *s, char *text, size_t *n)
{
    static const char *const words[] = {"nan", "-1", "1e308", "0", ":", "- ", "[", "}", "\"", "&a ", "*a", "\t", "# ", "kg", "degF", "%", "\xff\xfe", "\n\n", "---\n", "9999999999999999999", "none", "all", "inf", "0.0000001"};
    const size_t at = *n > 0 ? (size_t)below(s, (int)*n) : 0;
    const char *word = PICK(s, words);
    switch (below(s, 6)) {
    case 0:
        cut(text, n, at, (size_t)below(s, 30));
        return;
    case 1:
        put(text, n, at, word, strlen(word));
        return;
    case 2:
        text[at] = (char)below(s, 256);
        return;
    case 3: { /* a line away */
        const char *end = memchr(text + at, '\n', *n - at);
        cut(text, n, at, end ? (size_t)(end - text) - at : *n - at);
        return;
    }
    case 4: { /* a piece of it again somewhere else */
        char piece[64];
        const size_t from = (size_t)below(s, (int)*n + 1), length = *n - from < sizeof piece ? *n - from : sizeof piece;
        memcpy(piece, text + from, length);
        put(text, n, at, piece, length);
        return;
    }
    default: /* the next digit becomes another */
        for (size_t i = at; i < *n; i++) {
            if (text[i] >= '0' && text[i] <= '9') {
                text[i] = (char)('0' + below(s, 10));
                return;
            }
        }
    }
}

size_t generate_spoilt(uint64_t seed, char text[GENERATED_MOST])
{
    source s = {seed * 40503u + 77, text, 0};
    generate(seed, text);
    size_t n = strlen(text);
    for (int times = 1 + below(&s, 4); times > 0 && n > 0; times--) {
        spoil(&s, text, &n);
    }
    text[n] = '\0';
    return n;
}
