#include "scenario/svg.h"

#include <limits.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include <libxml/parser.h>
#include <libxml/tree.h>

#include "base/error.h"
#include "scenario/svg_path.h"

#define LEAST_AREA_M2 1e-4
#define LARGEST_M     20.0         /* no piece of cloth is larger */
#define CLOSE_M       5e-4         /* ends so near each other are one point */
#define ANISOTROPY    1e-3         /* relative difference of the scales along width and height */

typedef struct svg {
    thaw_faults *faults;
    thaw_drawing *out;
    bool starved;
    thaw_error *err;
} svg;

static thaw_place place_of(const xmlNode *node)
{
    return (thaw_place){(size_t)xmlGetLineNo(node), 1};
}

static bool is_named(const xmlNode *node, const char *name)
{
    return node->type == XML_ELEMENT_NODE && strcmp((const char *)node->name, name) == 0;
}

/* Text of an attribute, whatever its name space; "" where there is none or it holds more than plain text. */
static const char *attribute(const xmlNode *node, const char *name)
{
    for (const xmlAttr *a = node->properties; a; a = a->next) {
        if (strcmp((const char *)a->name, name) == 0 && a->children && a->children->type == XML_TEXT_NODE &&
            !a->children->next && a->children->content) {
            return (const char *)a->children->content;
        }
    }
    return "";
}

/* ---- names ---- */

/* One line, blanks joined, cut at a whole character. */
static void copy_name(const char *from, char *out)
{
    size_t n = 0;
    const char *at = from;
    for (; *at && n + 1 < THAW_PIECE_NAME; at++) {
        const unsigned char c = (unsigned char)*at;
        if (c > 0x20 && c != 0x7f) {
            out[n++] = *at;
        } else if (n > 0 && out[n - 1] != ' ') {
            out[n++] = ' ';
        }
    }
    if (*at) { /* the last character may have been cut */
        while (n > 0 && ((unsigned char)out[n - 1] & 0xC0u) == 0x80u) {
            n--;
        }
        n -= n > 0 && (unsigned char)out[n - 1] >= 0xC0u;
    }
    while (n > 0 && out[n - 1] == ' ') {
        n--;
    }
    out[n] = '\0';
}

static void name_of(const xmlNode *node, char *out)
{
    out[0] = '\0';
    for (const xmlNode *child = node->children; child && !out[0]; child = child->next) {
        if (is_named(child, "title") && child->children && child->children->content) {
            copy_name((const char *)child->children->content, out);
        }
    }
    if (!out[0]) {
        copy_name(attribute(node, "label"), out);
    }
    if (!out[0]) {
        copy_name(attribute(node, "id"), out);
    }
}

/* A name that no other shape has. */
static void settle_name(svg *s, const xmlNode *node, thaw_drawn *shape)
{
    char wanted[THAW_PIECE_NAME];
    name_of(node, wanted);
    if (!wanted[0] && node->parent && is_named(node->parent, "g")) {
        name_of(node->parent, wanted);
    }
    if (!wanted[0]) {
        snprintf(wanted, sizeof wanted, "piece");
    }
    snprintf(shape->name, sizeof shape->name, "%s", wanted);
    int number = 1;
    for (int i = 0; i < s->out->n; i++) {
        if (strcmp(s->out->shapes[i].name, shape->name) == 0) {
            snprintf(shape->name, sizeof shape->name, "%.30s %d", wanted, ++number);
            i = -1;
        }
    }
}

/* ---- shapes ---- */

static double number_of(const svg *s, const xmlNode *node, const char *name)
{
    const char *text = attribute(node, name), *at = text;
    double value = 0.0, unit = 0.0;
    if (!*text) {
        return 0.0;
    }
    if (!thaw_svg_number(&at, &value) || !thaw_svg_unit(at, &unit)) {
        thaw_faults_add(s->faults, place_of(node), "a number is wanted", "%s: `%.40s` is not understood", name, text);
        return 0.0;
    }
    return *at ? value * unit * 96.0 / 0.0254 : value;
}

static bool trace(const svg *s, const xmlNode *node, thaw_trace *t)
{
    char why[200];
    bool fine = true;
    if (is_named(node, "path")) {
        fine = thaw_svg_path(attribute(node, "d"), t, why, sizeof why);
    } else if (is_named(node, "polygon") || is_named(node, "polyline")) {
        fine = thaw_svg_points(attribute(node, "points"), is_named(node, "polygon"), t, why, sizeof why);
    } else if (is_named(node, "rect")) {
        const double at[2] = {number_of(s, node, "x"), number_of(s, node, "y")};
        const double size[2] = {number_of(s, node, "width"), number_of(s, node, "height")};
        double round[2] = {number_of(s, node, "rx"), number_of(s, node, "ry")};
        round[0] = *attribute(node, "rx") ? round[0] : round[1];
        round[1] = *attribute(node, "ry") ? round[1] : round[0];
        thaw_svg_rect(at, size, round, t);
    } else if (is_named(node, "circle") || is_named(node, "ellipse")) {
        const double centre[2] = {number_of(s, node, "cx"), number_of(s, node, "cy")};
        const bool is_circle = is_named(node, "circle");
        const double radius[2] = {number_of(s, node, is_circle ? "r" : "rx"), number_of(s, node, is_circle ? "r" : "ry")};
        thaw_svg_ellipse(centre, radius, t);
    } else {
        return false;
    }
    if (!fine) {
        thaw_faults_add(s->faults, place_of(node), "save the drawing anew as plain SVG", "%s", why);
    }
    return fine && t->n > 0;
}

/* The largest closed part, without corners that repeat the one before. */
static thaw_status outline_of(const thaw_trace *t, thaw_polygon *out, thaw_error *err)
{
    double best = 0.0;
    int from = 0, n_best = 0;
    for (int p = 0; p < t->n_parts; p++) {
        const int first = t->parts[p].first, end = p + 1 < t->n_parts ? t->parts[p + 1].first : t->n;
        const thaw_polygon part = {end - first, t->at + first};
        const bool closed = part.n > 2 && (t->parts[p].closed || hypot(part.at[0][0] - part.at[part.n - 1][0],
                                                                      part.at[0][1] - part.at[part.n - 1][1]) < CLOSE_M);
        const double area = closed ? thaw_polygon_area(&part) : 0.0;
        if (area > best) {
            best = area;
            from = first;
            n_best = part.n;
        }
    }
    if (best < LEAST_AREA_M2) {
        return THAW_OK;
    }
    thaw_status status = thaw_polygon_copy((const double(*)[2])t->at + from, n_best, out, err);
    if (status == THAW_OK) {
        int n = 1;
        for (int i = 1; i < out->n; i++) {
            if (hypot(out->at[i][0] - out->at[n - 1][0], out->at[i][1] - out->at[n - 1][1]) > 1e-6) {
                memmove(out->at[n++], out->at[i], sizeof *out->at);
            }
        }
        while (n > 3 && hypot(out->at[0][0] - out->at[n - 1][0], out->at[0][1] - out->at[n - 1][1]) < CLOSE_M) {
            n--;
        }
        out->n = n;
    }
    return status;
}

static void keep_shape(svg *s, const xmlNode *node, const thaw_trace *t)
{
    thaw_drawn shape = {.line = place_of(node).line};
    if (t->too_long) {
        thaw_faults_add(s->faults, place_of(node), NULL, "a shape with more than %d corners or %d parts", THAW_SVG_CORNERS,
                        THAW_SVG_PARTS);
        return;
    }
    if (t->starved || outline_of(t, &shape.outline, s->err) != THAW_OK) {
        s->starved = true;
        return;
    }
    if (shape.outline.n == 0) {
        return;
    }
    const thaw_extent e = thaw_polygon_extent(&shape.outline);
    if (!(e.x1 - e.x0 <= LARGEST_M && e.y1 - e.y0 <= LARGEST_M)) {
        thaw_faults_add(s->faults, place_of(node), "see width, height and viewBox of the drawing",
                        "a shape of %.4g x %.4g m", e.x1 - e.x0, e.y1 - e.y0);
    } else if (s->out->n == THAW_MAX_DRAWN) {
        thaw_faults_add(s->faults, place_of(node), "take out what is no piece", "more than %d closed shapes", THAW_MAX_DRAWN);
    } else {
        settle_name(s, node, &shape);
        s->out->shapes[s->out->n++] = shape;
        return;
    }
    thaw_polygon_release(&shape.outline);
}

/* ---- the tree ---- */

static bool is_hidden(const xmlNode *node)
{
    const char *style = attribute(node, "style"), *display = strstr(style, "display:");
    return strcmp(attribute(node, "display"), "none") == 0 ||
           (display && strncmp(display + 8 + strspn(display + 8, " "), "none", 4) == 0);
}

/* Shapes in here are not part of the drawing. */
static bool is_store(const xmlNode *node)
{
    static const char *const names[] = {"defs", "symbol", "clipPath", "mask", "marker", "pattern", "metadata", "style", "text"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        if (is_named(node, names[i])) {
            return true;
        }
    }
    return false;
}

static bool place(const svg *s, const xmlNode *node, double m[6])
{
    char why[200];
    if (!thaw_svg_transform(attribute(node, "transform"), m, why, sizeof why)) {
        thaw_faults_add(s->faults, place_of(node), "save the drawing anew as plain SVG", "%s", why);
        return false;
    }
    return true;
}

static void visit(svg *s, const xmlNode *node, const double outer[6])
{
    double m[6];
    if (s->starved || node->type != XML_ELEMENT_NODE || is_hidden(node) || is_store(node)) {
        return;
    }
    memcpy(m, outer, sizeof m);
    if (!place(s, node, m)) {
        return;
    }
    if (is_named(node, "g") || is_named(node, "a")) {
        for (const xmlNode *child = node->children; child; child = child->next) {
            visit(s, child, m);
        }
    } else if (is_named(node, "use") || is_named(node, "svg")) {
        thaw_faults_add(s->faults, place_of(node), "turn it into a plain path, for example by unlinking the clone",
                        "`%s` is not read", (const char *)node->name);
    } else {
        thaw_trace t = {0};
        memcpy(t.to_m, m, sizeof t.to_m);
        if (trace(s, node, &t)) {
            keep_shape(s, node, &t);
        }
        thaw_trace_release(&t);
    }
}

/* Metres of `width` or `height`; 0 where missing or not understood. */
static double length_of(const svg *s, const xmlNode *root, const char *name)
{
    const char *text = attribute(root, name), *at = text;
    double value = 0.0, unit = 0.0;
    if (!*text) {
        return 0.0;
    }
    if (!thaw_svg_number(&at, &value) || !thaw_svg_unit(at, &unit) || !(value > 0.0)) {
        thaw_faults_add(s->faults, place_of(root), "write a length such as `210mm`, `40cm` or `11in`",
                        "%s: `%.40s` is no size of a drawing", name, text);
        return 0.0;
    }
    return value * unit;
}

/* How large a unit of the drawing is, m. */
static bool find_scale(const svg *s, const xmlNode *root, double *unit_m)
{
    const int before = thaw_faults_count(s->faults);
    const double width = length_of(s, root, "width"), height = length_of(s, root, "height");
    const char *box = attribute(root, "viewBox"), *at = box;
    double v[4] = {0};
    for (int i = 0; *box && i < 4; i++) {
        if (!thaw_svg_number(&at, &v[i]) || (i >= 2 && !(v[i] > 0.0))) {
            thaw_faults_add(s->faults, place_of(root), "four numbers are wanted", "viewBox: `%.60s` is not understood", box);
            return false;
        }
    }
    if (thaw_faults_count(s->faults) > before) {
        return false;
    }
    if (!*box) {
        return thaw_svg_unit("", unit_m);
    }
    if (width == 0.0 && height == 0.0) {
        thaw_faults_add(s->faults, place_of(root), "give the drawing a real size, for example width=\"420mm\" height=\"297mm\"",
                        "the drawing has a viewBox, but neither width nor height");
        return false;
    }
    const double across = width / v[2], down = height / v[3];
    if (width > 0.0 && height > 0.0 && fabs(across - down) > ANISOTROPY * across) {
        thaw_faults_add(s->faults, place_of(root), "let width and height fit the viewBox",
                        "width gives %.5g mm a unit, height %.5g mm", across * 1e3, down * 1e3);
        return false;
    }
    *unit_m = width > 0.0 ? across : down;
    return true;
}

static void read_tree(svg *s, xmlDoc *document)
{
    const xmlNode *root = xmlDocGetRootElement(document);
    double unit_m = 0.0;
    if (!root || !is_named(root, "svg")) {
        thaw_faults_add(s->faults, root ? place_of(root) : (thaw_place){0, 0}, NULL, "this is no SVG drawing");
        return;
    }
    if (!find_scale(s, root, &unit_m)) {
        return;
    }
    const double m[6] = {unit_m, 0.0, 0.0, unit_m, 0.0, 0.0};
    for (const xmlNode *child = root->children; child; child = child->next) {
        visit(s, child, m);
    }
}

thaw_status thaw_svg_read(const char *text, size_t n, thaw_faults *faults, thaw_drawing *out, thaw_error *err)
{
    svg s = {.faults = faults, .out = out, .err = err};
    xmlParserCtxt *parser = n <= INT_MAX ? xmlNewParserCtxt() : NULL;
    /* Entities stay as they are and nothing is fetched: a small file stays small. */
    xmlDoc *document = parser ? xmlCtxtReadMemory(parser, text, (int)n, NULL, NULL,
                                                  XML_PARSE_NONET | XML_PARSE_NOERROR | XML_PARSE_NOWARNING | XML_PARSE_NOCDATA)
                              : NULL;
    if (!parser) {
        return thaw_fail(err, THAW_ERR_MEMORY, "not enough memory to read a drawing");
    }
    if (!document) {
        const xmlError *why = xmlCtxtGetLastError(parser);
        char reason[200] = "cannot be read";
        if (why && why->message) {
            snprintf(reason, sizeof reason, "%.*s", (int)strcspn(why->message, "\n"), why->message);
        }
        s.starved = why && why->code == XML_ERR_NO_MEMORY;
        thaw_faults_add(faults, (thaw_place){why && why->line > 0 ? (size_t)why->line : 0, why && why->int2 > 0 ? (size_t)why->int2 : 1},
                        "save the drawing anew as plain SVG", "not valid XML: %s", reason);
    } else {
        read_tree(&s, document);
    }
    xmlFreeDoc(document);
    xmlFreeParserCtxt(parser);
    return s.starved ? thaw_fail(err, THAW_ERR_MEMORY, "not enough memory to read a drawing") : THAW_OK;
}

void thaw_drawing_release(thaw_drawing *drawing)
{
    for (int i = 0; i < drawing->n; i++) {
        thaw_polygon_release(&drawing->shapes[i].outline);
    }
    drawing->n = 0;
}
