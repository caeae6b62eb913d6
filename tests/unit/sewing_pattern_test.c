/* Sewing patterns: what is read becomes what is cut. */
#include "check.h"

#include <stdlib.h>

#include "base/alloc.h"
#include "scenario/pattern_file.h"

#define PI 3.14159265358979323846

static thaw_status parse(const char *text, thaw_pattern_sheet **out, thaw_error *err)
{
    thaw_pattern_sheet *sheet = thaw_allocate(1, sizeof *sheet, err);
    assert_non_null(sheet);
    thaw_status status = thaw_pattern_parse(text, strlen(text), "gown.yaml", sheet, err);
    *out = sheet;
    return status;
}

static thaw_pattern_sheet *good(const char *text)
{
    thaw_error err = {0};
    thaw_pattern_sheet *sheet = NULL;
    if (parse(text, &sheet, &err) != THAW_OK) {
        print_error("%s\n", err.text);
        fail();
    }
    return sheet;
}

static void done(thaw_pattern_sheet *sheet)
{
    thaw_pattern_release(sheet);
    thaw_release(sheet);
}

static void assert_box(const thaw_polygon *p, double width, double length, double tolerance)
{
    const thaw_extent e = thaw_polygon_extent(p);
    assert_close(e.x0, 0.0, 1e-9);
    assert_close(e.y0, 0.0, 1e-9);
    assert_close(e.x1, width, tolerance);
    assert_close(e.y1, length, tolerance);
}

static void numbers_are_in_the_unit_of_the_pattern(void **state)
{
    (void)state;
    static const struct {
        const char *unit;
        double metres;
    } units[] = {{"cm", 0.01}, {"mm", 0.001}, {"in", 0.0254}};
    for (size_t i = 0; i < 3; i++) {
        char text[120];
        snprintf(text, sizeof text, "unit: %s\npieces: [{ piece: a, rectangle: [30, 45.5] }]\n", units[i].unit);
        thaw_pattern_sheet *sheet = good(text);
        assert_int_equal(sheet->n, 1);
        assert_box(&sheet->pieces[0].outline, 30 * units[i].metres, 45.5 * units[i].metres, 1e-9);
        assert_int_equal(sheet->pieces[0].n_cut, 1);
        assert_true(sheet->pieces[0].may_turn && !sheet->pieces[0].is_mirrored);
        done(sheet);
    }
}

static void a_half_on_the_fold_is_unfolded(void **state)
{
    (void)state;
    static const char *const sides[] = {"left", "right", "top", "bottom"};
    for (int i = 0; i < 4; i++) {
        char text[200];
        snprintf(text, sizeof text, "pieces: [{ piece: a, on-fold: %s, outline: [[0, 0], [10, 0], [10, 20], [0, 20]] }]\n", sides[i]);
        thaw_pattern_sheet *sheet = good(text);
        assert_box(&sheet->pieces[0].outline, i < 2 ? 0.2 : 0.1, i < 2 ? 0.2 : 0.4, 1e-9);
        assert_close(thaw_polygon_area(&sheet->pieces[0].outline), 0.04, 1e-9);
        done(sheet);
    }
    /* A neckline: the halves are alike about the fold. */
    thaw_pattern_sheet *sheet = good("pieces: [{ piece: a, on-fold: left, outline: [[0, 4], [3, 3], [5, 0], [10, 2], [10, 24], [0, 25]] }]\n");
    const thaw_polygon *p = &sheet->pieces[0].outline;
    for (int i = 0; i < p->n; i++) {
        double nearest = 1.0;
        for (int j = 0; j < p->n; j++) {
            nearest = fmin(nearest, hypot(p->at[i][0] + p->at[j][0] - 0.2, p->at[i][1] - p->at[j][1]));
        }
        assert_close(nearest, 0.0, 1e-9);
    }
    done(sheet);
}

static void the_allowance_goes_round_outside(void **state)
{
    (void)state;
    thaw_pattern_sheet *sheet = good("seam-allowance: 15 mm\npieces:\n  - { piece: a, rectangle: [10, 20] }\n"
                                     "  - { piece: b, rectangle: [10, 20], seam-allowance: 0 cm }\n"
                                     "  - { piece: c, rectangle: [10, 20], on-fold: left }\n");
    assert_box(&sheet->pieces[0].outline, 0.13, 0.23, 1e-9); /* corners stay sharp */
    assert_close(thaw_polygon_area(&sheet->pieces[0].outline), 0.13 * 0.23, 1e-9);
    assert_close(thaw_polygon_area(&sheet->pieces[0].seam), 0.02, 1e-9);
    assert_box(&sheet->pieces[1].outline, 0.10, 0.20, 1e-9);
    assert_int_equal(sheet->pieces[1].seam.n, 0);
    assert_box(&sheet->pieces[2].outline, 0.23, 0.23, 1e-9); /* none at the fold */
    done(sheet);
}

static void the_grain_is_turned_upright(void **state)
{
    (void)state;
    thaw_pattern_sheet *sheet = good("pieces:\n  - { piece: a, rectangle: [10, 20], grain: crosswise }\n"
                                     "  - { piece: b, rectangle: [10, 20], grain: bias }\n"
                                     "  - { piece: c, outline: [[0, 17.3205081], [10, 0], [30, 0], [20, 17.3205081]], grain: 30 deg }\n");
    assert_box(&sheet->pieces[0].outline, 0.2, 0.1, 1e-9);
    assert_close(sheet->pieces[0].down[0], 1.0, 1e-12); /* what was down now points right */
    assert_close(sheet->pieces[0].down[1], 0.0, 1e-12);
    assert_box(&sheet->pieces[1].outline, 0.3 * sqrt(0.5), 0.3 * sqrt(0.5), 1e-9);
    /* Two of its sides are drawn 30 degrees clockwise from upright: they come out upright. */
    const thaw_polygon *p = &sheet->pieces[2].outline;
    int n_upright = 0;
    for (int i = 0; i < 4; i++) {
        const double *a = p->at[i], *b = p->at[(i + 1) % 4];
        n_upright += fabs(a[0] - b[0]) < 1e-9 && fabs(fabs(a[1] - b[1]) - 0.2) < 1e-9;
    }
    assert_int_equal(n_upright, 2);
    assert_close(sheet->pieces[2].down[0], 0.5, 1e-12);
    done(sheet);
}

static void wishes_are_words_lists_colours_and_paints(void **state)
{
    (void)state;
    thaw_pattern_sheet *sheet = good("one-way: yes\ngap: 5 mm\npieces:\n  - { piece: a, rectangle: [10, 20], wish: [hem, Match], cut: 4, mirrored: yes, turn: no }\n"
                                     "  - { piece: b, rectangle: [10, 20], wish: turquoise, importance: 2.5 }\n"
                                     "  - { piece: c, rectangle: [10, 20], wish: '#10ff80' }\n");
    assert_true(sheet->one_way);
    assert_close(sheet->gap_m, 0.005, 1e-12);
    assert_int_equal(sheet->pieces[0].n_wishes, 2);
    assert_int_equal(sheet->pieces[0].wishes[0].kind, THAW_WISH_HEM);
    assert_int_equal(sheet->pieces[0].wishes[1].kind, THAW_WISH_MATCH);
    assert_true(sheet->pieces[0].n_cut == 4 && sheet->pieces[0].is_mirrored && !sheet->pieces[0].may_turn);
    assert_int_equal(sheet->pieces[1].wishes[0].kind, THAW_WISH_COLOUR);
    assert_string_equal(sheet->pieces[1].wishes[0].colour->name, "turquoise");
    assert_close(sheet->pieces[1].importance, 2.5, 0.0);
    assert_int_equal(sheet->pieces[2].wishes[0].rgb[1], 0xff);
    char why[300];
    assert_true(thaw_pattern_wish(sheet, "B", "white", why, sizeof why));
    assert_int_equal(sheet->pieces[1].wishes[0].kind, THAW_WISH_WHITE);
    assert_false(thaw_pattern_wish(sheet, "d", "white", why, sizeof why));
    assert_non_null(strstr(why, "no piece `d`"));
    assert_false(thaw_pattern_wish(sheet, "a", "evn", why, sizeof why));
    assert_non_null(strstr(why, "did you mean `even`"));
    done(sheet);
}

/* Text and what the report must say. */
static void assert_fault(const char *text, const char *wanted)
{
    thaw_error err = {0};
    thaw_pattern_sheet *sheet = NULL;
    assert_int_equal(parse(text, &sheet, &err), THAW_ERR_SCENARIO);
    if (!strstr(err.text, wanted)) {
        print_error("wanted: %s\ngot: %s\n", wanted, err.text);
        fail();
    }
    done(sheet);
}

static void faults_name_line_value_and_remedy(void **state)
{
    (void)state;
    assert_fault("", "the file is empty");
    assert_fault("title: x\n", "`pieces` is missing");
    assert_fault("pieces: []\n", "a list of pieces is wanted");
    assert_fault("pieces:\n  - piece: a\n", "gown.yaml:2:5: `a.outline` is missing");
    assert_fault("pieces:\n  - piece: a\n    outline: [[0, 0], [10, 10], [10, 0], [0, 10]]\n", "gown.yaml:3:14: a: its outline crosses or touches itself at 5 cm across, 5 cm down");
    assert_fault("pieces: [{ piece: a, rectangle: [0.5, 0.5] }]\n", "smaller than 1 square cm");
    assert_fault("pieces: [{ piece: a, rectangle: [5, 2000] }]\n", "too large");
    assert_fault("pieces: [{ piece: a, rectangle: [5, 20 cm] }]\n", "is not a plain number");
    assert_fault("pieces: [{ piece: a, rectangle: [5, 20], outline: [[0, 0], [1, 0], [1, 9]] }]\n", "drawn more than once");
    assert_fault("pieces: [{ piece: a, rectangle: [5, 20], mirrored: yes }]\n", "of 1 there are no pairs");
    assert_fault("pieces: [{ piece: a, rectangle: [5, 20], cut: 65 }]\n", "allowed: 1 to 64");
    assert_fault("pieces:\n  - { piece: a, rectangle: [5, 20], cut: 40 }\n  - { piece: b, rectangle: [5, 20], cut: 25 }\n", "65 are to be cut, at most 64");
    assert_fault("pieces: [{ piece: a, rectangle: [5, 20] }, { piece: A, rectangle: [5, 20] }]\n", "`A` is given twice");
    assert_fault("pieces: [{ piece: a, shape: b }]\n", "there is no drawing");
    assert_fault("drawing: nowhere.svg\npieces: [{ piece: a }]\n", "there is no file `nowhere.svg`");
    assert_fault("pieces: [{ piece: a, on-fold: left, outline: [[0, 5], [10, 0], [10, 10]] }]\n", "no straight edge lies on its left side");
}

#define SVG(inner) "<svg xmlns='http://www.w3.org/2000/svg' width='200mm' height='400mm' viewBox='0 0 100 200'>" inner "</svg>"

static void a_drawing_has_its_real_size(void **state)
{
    (void)state;
    static const struct {
        const char *head;
        double metres; /* of 100 units */
    } sizes[] = {{"width='200mm' viewBox='0 0 100 100'", 0.2},         {"width='20cm' height='20cm' viewBox='5 5 100 100'", 0.2},
                 {"width='4in' viewBox='0 0 100 100'", 0.1016},        {"width='96' height='96' viewBox='0 0 100 100'", 0.0254},
                 {"", 100 * 0.0254 / 96},                              {"width='300px' height='300px'", 100 * 0.0254 / 96},
                 {"height='288pt' viewBox='0 0 50 100'", 0.1016}};
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        char text[300];
        snprintf(text, sizeof text, "<svg %s><rect id='a' x='10' width='100' height='50'/></svg>", sizes[i].head);
        thaw_pattern_sheet *sheet = good(text);
        assert_int_equal(sheet->n, 1);
        assert_box(&sheet->pieces[0].outline, sizes[i].metres, 0.5 * sizes[i].metres, 1e-9);
        done(sheet);
    }
}

static void curves_are_within_a_tenth_of_a_millimetre(void **state)
{
    (void)state;
    thaw_pattern_sheet *sheet = good(SVG("<circle id='round' cx='50' cy='50' r='40'/>"
                                         "<path id='arcs' d='M10,50 A40 40 0 0 1 90 50 A40 40 0 1 1 10,50Z'/>"
                                         "<path id='bow' d='M 0 0 Q 50 100 100 0 T 200 0 L 200 -100 0 -100 z'/>"));
    assert_int_equal(sheet->n, 3);
    for (int p = 0; p < 2; p++) { /* radius 80 mm */
        const thaw_polygon *o = &sheet->pieces[p].outline;
        for (int i = 0; i < o->n; i++) {
            const double *a = o->at[i], *b = o->at[(i + 1) % o->n];
            assert_close(hypot(a[0] - 0.08, a[1] - 0.08), 0.08, 2e-6);
            assert_close(hypot(0.5 * (a[0] + b[0]) - 0.08, 0.5 * (a[1] + b[1]) - 0.08), 0.08, 1e-4);
        }
        assert_close(thaw_polygon_area(o), PI * 0.08 * 0.08, 1.2e-4 * 2 * PI * 0.08);
    }
    /* The second arch is the first mirrored: what one adds the other takes. */
    assert_close(thaw_polygon_area(&sheet->pieces[2].outline), 0.4 * 0.2, 2e-5);
    done(sheet);
}

static void transforms_add_up(void **state)
{
    (void)state;
    thaw_pattern_sheet *sheet = good(SVG("<g transform='translate(50 0) rotate(90)'><g transform='scale(2,1)'>"
                                         "<path id='a' transform='matrix(1 0 0 1 3 4)' d='M0 0h10v10h-10z'/></g></g>"
                                         "<g transform='rotate(90, 20, 20) skewX(45)'><rect id='b' width='10' height='10'/></g>"));
    assert_int_equal(sheet->n, 2);
    assert_box(&sheet->pieces[0].outline, 0.02, 0.04, 1e-9);
    assert_box(&sheet->pieces[1].outline, 0.02, 0.04, 1e-9); /* 10 high, 20 wide once skewed, then turned */
    done(sheet);
}

static void pieces_are_named_by_title_label_or_id(void **state)
{
    (void)state;
    thaw_pattern_sheet *sheet = good(SVG("<rect id='r1' width='20' height='20'><title>  skirt\n  front </title></rect>"
                                         "<rect id='r2' label='sleeve' width='20' height='20'/><rect id='cuff' width='20' height='20'/>"
                                         "<g id='pocket'><rect width='20' height='20'/><rect width='20' height='20'/></g>"
                                         "<rect width='20' height='20'/><defs><rect id='no' width='20' height='20'/></defs>"
                                         "<path id='open' d='M0 0L50 50L50 0'/><rect id='notch' width='2' height='2'/>"
                                         "<rect id='hidden' width='20' height='20' style='fill:none;display:none'/>"));
    static const char *const names[] = {"skirt front", "sleeve", "cuff", "pocket", "pocket 2", "piece"};
    assert_int_equal(sheet->n, 6);
    for (int i = 0; i < 6; i++) {
        assert_string_equal(sheet->pieces[i].name, names[i]);
    }
    done(sheet);
}

static void broken_drawings_are_refused(void **state)
{
    (void)state;
    assert_fault("<svg", "not valid XML");
    assert_fault("<html><body/></html>", "this is no SVG drawing");
    assert_fault("<svg viewBox='0 0 10 10'><rect width='9' height='9'/></svg>", "neither width nor height");
    assert_fault("<svg width='100mm' height='300mm' viewBox='0 0 10 10'/>", "width gives 10 mm a unit, height 30 mm");
    assert_fault("<svg width='100%' viewBox='0 0 10 10'/>", "is no size of a drawing");
    assert_fault(SVG(""), "no closed shape");
    assert_fault(SVG("\n<path d='M0 0 L 9'/>"), "gown.yaml:2:1: the path has `9` where 2 numbers are wanted for `l`");
    assert_fault(SVG("<path d='L0 0'/>"), "does not begin with M");
    assert_fault(SVG("<use href='#a'/>"), "`use` is not read");
    assert_fault(SVG("<rect width='20000' height='9'/>"), "a shape of 40 x 0.018 m");
    assert_fault(SVG("<path id='x' d='M0 0L90 90L90 0L0 50z'/>"), "x: its outline crosses");
    assert_fault("<!DOCTYPE s [<!ENTITY a '&b;'><!ENTITY b '&a;'>]><svg><title>&a;</title></svg>", "not valid XML");
    char *deep = malloc(400000);
    size_t n = (size_t)sprintf(deep, "<svg>");
    for (int i = 0; i < 50000; i++) {
        n += (size_t)sprintf(deep + n, "<g>");
    }
    assert_fault(deep, "not valid XML");
    n = (size_t)sprintf(deep, "<svg><path d='M0 0");
    for (int i = 0; i < 25000; i++) {
        n += (size_t)sprintf(deep + n, " L%d %d", i % 300, i / 300);
    }
    sprintf(deep + n, "z'/></svg>");
    assert_fault(deep, "a shape with more than 20000 corners");
    free(deep);
}

static void any_cut_of_the_memory_leaves_nothing_behind(void **state)
{
    (void)state;
    const char *text = "seam-allowance: 1 cm\npieces: [{ piece: a, on-fold: left, rectangle: [10, 20], wish: hem }, { piece: b, rectangle: [1, 2] }]\n";
    const char *drawing = SVG("<circle id='round' cx='50' cy='50' r='40'/>");
    for (int which = 0; which < 2; which++) {
        thaw_status status = THAW_ERR_MEMORY;
        for (long n = 1; status != THAW_OK; n++) {
            assert_true(n < 200);
            thaw_error err = {0};
            thaw_pattern_sheet *sheet = thaw_allocate(1, sizeof *sheet, &err);
            const char *what = which ? drawing : text;
            thaw_allocate_fail_at(n);
            status = thaw_pattern_parse(what, strlen(what), "gown", sheet, &err);
            thaw_allocate_fail_at(0);
            assert_true(status == THAW_OK || status == THAW_ERR_MEMORY);
            done(sheet);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(numbers_are_in_the_unit_of_the_pattern),
        cmocka_unit_test(a_half_on_the_fold_is_unfolded),
        cmocka_unit_test(the_allowance_goes_round_outside),
        cmocka_unit_test(the_grain_is_turned_upright),
        cmocka_unit_test(wishes_are_words_lists_colours_and_paints),
        cmocka_unit_test(faults_name_line_value_and_remedy),
        cmocka_unit_test(a_drawing_has_its_real_size),
        cmocka_unit_test(curves_are_within_a_tenth_of_a_millimetre),
        cmocka_unit_test(transforms_add_up),
        cmocka_unit_test(pieces_are_named_by_title_label_or_id),
        cmocka_unit_test(broken_drawings_are_refused),
        cmocka_unit_test(any_cut_of_the_memory_leaves_nothing_behind),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
