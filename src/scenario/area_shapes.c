#include "scenario/area_shapes.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "scenario/pictures.h"
#include "scenario/writer.h"

#define MOST_VALUES 5
#define MOST_WEDGES 60.0

/* Kinds of value: p a place, w a width or distance, a an angle, n a number. Places are all shares or all lengths, and
 * so are widths. */
typedef struct shape_row {
    const char *word, *kinds, *form, *such_as;
    thaw_area_shape shape;
} shape_row;

static const shape_row SHAPES[] = {
    {"box", "pppp", "[left, top, right, bottom]", "[10 %, 0 %, 50 %, 100 %]", THAW_AREA_BOX},
    {"disc", "ppw", "[across, down, radius]", "[50 %, 50 %, 20 %]", THAW_AREA_DISC},
    {"oval", "pppp", "[left, top, right, bottom]", "[10 %, 0 %, 50 %, 100 %]", THAW_AREA_DISC},
    {"ring", "ppww", "[across, down, outer radius, inner radius]", "[50 %, 50 %, 12 cm, 8 cm]", THAW_AREA_HOOP},
    {"band", "ppppw", "[across, down, across, down, width]", "[0 cm, 0 cm, 30 cm, 40 cm, 3 cm]", THAW_AREA_BAND},
    {"wedge", "ppaa", "[across, down, from, to]", "[50 %, 50 %, 0 deg, 90 deg]", THAW_AREA_WEDGE},
    {"lines", "aww", "[slope, spacing, width]", "[0 deg, 6 cm, 1 cm]", THAW_AREA_LINES},
    {"rings", "ppww", "[across, down, spacing, width]", "[50 %, 50 %, 6 cm, 1 cm]", THAW_AREA_RINGS},
    {"wedges", "ppna", "[across, down, how many, angle of each]", "[50 %, 50 %, 6, 20 deg]", THAW_AREA_WEDGES},
    {"polygon", "", "[[across, down], ...]", "[[0 %, 0 %], [100 %, 0 %], [50 %, 100 %]]", THAW_AREA_POLYGON},
};
enum { N_SHAPES = sizeof SHAPES / sizeof SHAPES[0], PICTURE = N_SHAPES, PAINT, SUM, N_KEYS };

int thaw_shapes_count(void)
{
    return N_SHAPES;
}

const char *thaw_shapes_word(int i)
{
    return i >= 0 && i < N_SHAPES ? SHAPES[i].word : NULL;
}

const char *thaw_shapes_form(int i)
{
    return i >= 0 && i < N_SHAPES ? SHAPES[i].form : NULL;
}

/* Where value i of a shape is kept. */
static double *value_of(thaw_area *a, int i)
{
    double *const box[] = {&a->x0, &a->y0, &a->x1, &a->y1, &a->width};
    double *const hoop[] = {&a->x0, &a->y0, &a->width, &a->spacing};
    double *const wedge[] = {&a->x0, &a->y0, &a->from_deg, &a->to_deg};
    double *const lines[] = {&a->from_deg, &a->spacing, &a->width};
    double *const rings[] = {&a->x0, &a->y0, &a->spacing, &a->width};
    double *const wedges[] = {&a->x0, &a->y0, &a->inner, &a->to_deg};
    switch (a->shape) {
    case THAW_AREA_HOOP:
        return hoop[i];
    case THAW_AREA_WEDGE:
        return wedge[i];
    case THAW_AREA_LINES:
        return lines[i];
    case THAW_AREA_RINGS:
        return rings[i];
    case THAW_AREA_WEDGES:
        return wedges[i];
    default:
        return box[i];
    }
}

/* Lengths or shares? By the first place or width of the list. */
static bool is_length(const thaw_reader *reader, const yaml_node_t *node)
{
    double value;
    char why[240];
    return node->type == YAML_SCALAR_NODE &&
           thaw_quantity_parse(reader->units, THAW_LENGTH, (const char *)node->data.scalar.value, &value, why, sizeof why);
}

static thaw_rule rule_of(char kind, bool in_metres, bool inside, const char *where)
{
    const bool wide = kind == 'w';
    if (kind == 'a') {
        return (thaw_rule){where, THAW_ANGLE, -360.0, 720.0, false, "-360 deg to 720 deg"};
    }
    if (in_metres) {
        return wide ? (thaw_rule){where, THAW_LENGTH, 0.0, 10.0, true, "above 0 cm, to 10 m"}
                    : (thaw_rule){where, THAW_LENGTH, -10.0, 10.0, false, "-10 m to 10 m"};
    }
    if (wide) {
        return (thaw_rule){where, THAW_SHARE, 0.0, 2.0, true, "above 0 %, to 200 %"};
    }
    return inside ? (thaw_rule){where, THAW_SHARE, 0.0, 1.0, false, "0 % to 100 %"}
                  : (thaw_rule){where, THAW_SHARE, -1.0, 2.0, false, "-100 % to 200 %"};
}

static bool read_value(const thaw_reader *reader, const yaml_node_t *node, char kind, bool in_metres, bool inside,
                       const char *where, double *out)
{
    uint64_t whole = 0;
    if (kind == 'n') {
        const bool fine = thaw_reader_whole(reader, node, where, 2, (uint64_t)MOST_WEDGES, &whole);
        *out = (double)whole;
        return fine;
    }
    const thaw_rule rule = rule_of(kind, in_metres, inside, where);
    return thaw_reader_quantity(reader, node, &rule, out);
}

static bool refuse(const thaw_reader *reader, const yaml_node_t *node, const char *remedy, const char *where,
                   const char *what)
{
    thaw_faults_add(reader->faults, thaw_reader_place(node), remedy, "%s: %s", where, what);
    return false;
}

/* From the values as written to the fields that setup reads, and whether they make sense. */
static bool settle(const thaw_reader *reader, const yaml_node_t *node, const shape_row *row, const char *where,
                   const double *v, thaw_area *area)
{
    const bool four = strcmp(row->kinds, "pppp") == 0;
    if (four && (v[0] >= v[2] || v[1] >= v[3])) {
        return refuse(reader, node, "left must be below right, and top below bottom", where, "the area is empty");
    }
    switch (row->shape) {
    case THAW_AREA_BAND:
        return (v[0] != v[2] || v[1] != v[3]) ||
               refuse(reader, node, "write two different ends", where, "the band has no length");
    case THAW_AREA_HOOP:
        strcpy(area->name, "(ring)"); /* `ring` is a named area too */
        return v[3] < v[2] || refuse(reader, node, "write the outer radius first", where, "the ring is empty");
    case THAW_AREA_WEDGE:
        return (v[3] > v[2] && v[3] <= v[2] + 360.0) ||
               refuse(reader, node, "clockwise from the top, such as `[50 %, 50 %, 300 deg, 380 deg]`", where,
                      "the wedge is empty or more than a full turn");
    case THAW_AREA_LINES:
        return v[2] < v[1] || refuse(reader, node, "the spacing runs from middle to middle", where, "the lines touch");
    case THAW_AREA_RINGS:
        return v[3] < v[2] || refuse(reader, node, "the spacing runs from middle to middle", where, "the rings touch");
    case THAW_AREA_WEDGES:
        area->n_corners = (int)v[2];
        return (v[3] > 0.0 && v[2] * v[3] < 360.0) ||
               refuse(reader, node, "all together below 360 deg", where, "the wedges are empty or touch");
    default:
        return true;
    }
}

static bool read_values(const thaw_reader *reader, const yaml_node_t *node, const shape_row *row, const char *where,
                        thaw_area *area)
{
    yaml_node_t *items[MOST_VALUES];
    const int n = (int)strlen(row->kinds);
    double v[MOST_VALUES] = {0.0};
    char remedy[160];
    bool fine = true;
    if (thaw_reader_list(reader, node, where, n, items) != n) {
        snprintf(remedy, sizeof remedy, "write `%s`, such as `%s`", row->form, row->such_as);
        thaw_faults_add(reader->faults, thaw_reader_place(node), remedy, "%s: %d shares are wanted here (or lengths)", where, n);
        return false;
    }
    thaw_area made = {.shape = row->shape};
    snprintf(made.name, sizeof made.name, "%s", row->word);
    made.in_metres = row->kinds[0] == 'p' && is_length(reader, items[0]);
    made.wide_in_metres = strchr(row->kinds, 'w') && is_length(reader, items[strcspn(row->kinds, "w")]);
    const bool inside = row->shape == THAW_AREA_BOX || row->shape == THAW_AREA_DISC;
    for (int i = 0; i < n; i++) {
        fine = read_value(reader, items[i], row->kinds[i], row->kinds[i] == 'w' ? made.wide_in_metres : made.in_metres, inside && strcmp(row->word, "oval") != 0, where,
                          &v[i]) && fine;
        *value_of(&made, i) = v[i];
    }
    if (!fine || !settle(reader, node, row, where, v, &made)) {
        return false;
    }
    if (strcmp(row->word, "disc") == 0 && made.in_metres != made.wide_in_metres) {
        made = (thaw_area){.name = "disc", .shape = THAW_AREA_HOOP, .in_metres = made.in_metres,
                           .wide_in_metres = made.wide_in_metres, .x0 = v[0], .y0 = v[1], .width = v[2]};
    } else if (strcmp(row->word, "disc") == 0) {
        made = (thaw_area){.name = "oval", .shape = THAW_AREA_DISC, .in_metres = made.in_metres, .x0 = v[0] - v[2],
                           .y0 = v[1] - v[2], .x1 = v[0] + v[2], .y1 = v[1] + v[2]};
    }
    *area = made;
    return true;
}

static bool read_polygon(const thaw_reader *reader, const yaml_node_t *node, const char *where, thaw_area *area)
{
    yaml_node_t *items[THAW_MAX_CORNERS], *pair[2];
    thaw_area made = {.name = "polygon", .shape = THAW_AREA_POLYGON};
    const int n = thaw_reader_list(reader, node, where, THAW_MAX_CORNERS, items);
    bool fine = n >= 3;
    if (!fine) {
        return refuse(reader, node, "write `[[0 %, 0 %], [100 %, 0 %], [50 %, 100 %]]`", where,
                      "a list of at least three corners is wanted here");
    }
    for (int i = 0; i < n; i++) {
        if (thaw_reader_list(reader, items[i], where, 2, pair) != 2) {
            return refuse(reader, items[i], "write `[across, down]`", where, "a corner is wanted here");
        }
        made.in_metres = i == 0 ? is_length(reader, pair[0]) : made.in_metres;
        for (int d = 0; d < 2; d++) {
            fine = read_value(reader, pair[d], 'p', made.in_metres, false, where, &made.corners[i][d]) && fine;
        }
    }
    made.n_corners = n;
    if (fine) {
        *area = made;
    }
    return fine;
}

/* "#e0218a" or "e0218a", kept in small letters without the sign. */
static bool read_paint(const thaw_reader *reader, const yaml_node_t *node, char out[8])
{
    const char *text = thaw_reader_text(reader, node, "paint");
    if (!text) {
        return false;
    }
    const char *hex = text + (text[0] == '#');
    if (strlen(hex) != 6 || strspn(hex, "0123456789abcdefABCDEF") != 6) {
        thaw_faults_add(reader->faults, thaw_reader_place(node), "write red, green, blue as in a paint program: \"#e0218a\"",
                        "paint: `%.60s` is no colour", text);
        return false;
    }
    for (int i = 0; i < 6; i++) {
        out[i] = (char)tolower((unsigned char)hex[i]);
    }
    return true;
}

static bool read_picture(const thaw_reader *reader, yaml_node_t *const *values, thaw_area *area)
{
    const char *name = thaw_reader_text(reader, values[PICTURE], "picture");
    thaw_area made = {.name = "picture", .shape = THAW_AREA_PICTURE};
    if (!name || (values[PAINT] && !read_paint(reader, values[PAINT], made.paint))) {
        return false;
    }
    *area = made;
    if (!thaw_pictures_use(reader->pictures, reader->path, name, thaw_reader_place(values[PICTURE]), area, reader->faults)) {
        return false;
    }
    const char *sum = values[SUM] ? thaw_reader_text(reader, values[SUM], "sum") : NULL;
    if (sum && (uint32_t)strtoul(sum, NULL, 16) != area->picture_sum) {
        thaw_faults_add(reader->faults, thaw_reader_place(values[SUM]), "leave `sum` out to take the picture as it is now",
                        "picture: `%s` is not the picture that was used before", area->picture);
    }
    return true;
}

bool thaw_shapes_read(const thaw_reader *reader, const yaml_node_t *node, const char *where, thaw_area *area)
{
    const char *keys[N_KEYS] = {[PICTURE] = "picture", [PAINT] = "paint", [SUM] = "sum"};
    yaml_node_t *values[N_KEYS];
    int given = 0, which = 0;
    for (int i = 0; i < N_SHAPES; i++) {
        keys[i] = SHAPES[i].word;
    }
    if (!thaw_reader_map(reader, node, where, keys, N_KEYS, values)) {
        return false;
    }
    for (int i = 0; i <= PICTURE; i++) {
        given += values[i] != NULL;
        which = values[i] ? i : which;
    }
    if (given != 1 || ((values[PAINT] || values[SUM]) && which != PICTURE)) {
        return refuse(reader, node,
                      "write one of `box`, `disc`, `oval`, `ring`, `band`, `wedge`, `lines`, `rings`, `wedges`, `polygon`, "
                      "`picture`, or the name of an area",
                      where, "one shape is wanted here");
    }
    if (which == PICTURE) {
        return read_picture(reader, values, area);
    }
    return SHAPES[which].shape == THAW_AREA_POLYGON ? read_polygon(reader, values[which], where, area)
                                                    : read_values(reader, values[which], &SHAPES[which], where, area);
}

static void write_value(thaw_writer *w, const thaw_units *units, thaw_value_writer *write, char kind, bool in_metres,
                        double value)
{
    char text[64];
    if (kind == 'n') {
        snprintf(text, sizeof text, "%.0f", value);
    } else {
        write(units, kind == 'a' ? THAW_ANGLE : (in_metres ? THAW_LENGTH : THAW_SHARE), value, text, sizeof text);
    }
    thaw_writer_add(w, "%s", text);
}

static void write_polygon(thaw_writer *w, const thaw_units *units, thaw_value_writer *write, const thaw_area *area)
{
    thaw_writer_add(w, "{ polygon: [");
    for (int i = 0; i < area->n_corners; i++) {
        thaw_writer_add(w, i ? ", [" : "[");
        write_value(w, units, write, 'p', area->in_metres, area->corners[i][0]);
        thaw_writer_add(w, ", ");
        write_value(w, units, write, 'p', area->in_metres, area->corners[i][1]);
        thaw_writer_add(w, "]");
    }
    thaw_writer_add(w, "] }");
}

static void write_picture(thaw_writer *w, const thaw_area *area)
{
    thaw_writer_add(w, "{ picture: \"%s\"", area->picture);
    if (area->paint[0]) {
        thaw_writer_add(w, ", paint: \"#%s\"", area->paint);
    }
    thaw_writer_add(w, ", sum: \"%08x\" }", (unsigned)area->picture_sum);
}

bool thaw_shapes_write(const thaw_units *units, const thaw_area *area, thaw_value_writer *write, char *out, size_t size)
{
    const bool ring = strcmp(area->name, "(ring)") == 0;
    thaw_writer w = {out, size, 0};
    if (area->shape == THAW_AREA_POLYGON) {
        write_polygon(&w, units, write, area);
        return true;
    }
    if (area->shape == THAW_AREA_PICTURE) {
        write_picture(&w, area);
        return true;
    }
    for (int i = 0; i < N_SHAPES; i++) {
        const shape_row *row = &SHAPES[i];
        if (strcmp(row->word, ring ? "ring" : area->name) != 0 || (area->shape == THAW_AREA_RING)) {
            continue;
        }
        thaw_area copy = *area;
        thaw_writer_add(&w, "{ %s: [", row->word);
        for (int v = 0; row->kinds[v]; v++) {
            thaw_writer_add(&w, v ? ", " : "");
            write_value(&w, units, write, row->kinds[v], row->kinds[v] == 'w' ? area->wide_in_metres : area->in_metres,
                        *value_of(&copy, v));
        }
        thaw_writer_add(&w, "] }");
        return true;
    }
    return false;
}
