/* PNG files read back by libpng itself; the melt table and the figures as text. */
#include <stdlib.h>

#include <jansson.h>
#include <png.h>

#include "base/alloc.h"
#include "check.h"
#include "output/figures_json.h"
#include "output/melt_curve.h"
#include "output/png.h"
#include "output/sheet.h"

#define W 23
#define H 17

static uint8_t pixels[3 * W * H];
static const thaw_png_text texts[] = {{"Title", "Sea wall, act two"},
                                      {"Scenario digest", "0123456789abcdef"},
                                      {"Comment", "m\xc3\xb6we"}};

static thaw_image make_image(void)
{
    for (int i = 0; i < 3 * W * H; i++) {
        pixels[i] = (uint8_t)(i * 37 + i / 5);
    }
    return (thaw_image){.width = W, .height = H, .pixel_m = 0.002, .rgb = pixels};
}

typedef struct reader {
    const unsigned char *bytes;
    size_t n, at;
} reader;

static void on_read(png_structp png, png_bytep out, size_t n)
{
    reader *r = png_get_io_ptr(png);
    if (n > r->n - r->at) {
        png_error(png, "short file");
    }
    memcpy(out, r->bytes + r->at, n);
    r->at += n;
}

static void check_texts(png_structp png, png_infop info)
{
    png_textp found;
    int n;
    png_get_text(png, info, &found, &n);
    assert_int_equal(n, 3);
    for (int i = 0; i < n; i++) {
        assert_string_equal(found[i].key, texts[i].key);
        assert_string_equal(found[i].text, texts[i].value);
        assert_int_equal(found[i].compression,
                         i < 2 ? PNG_TEXT_COMPRESSION_NONE : PNG_ITXT_COMPRESSION_NONE);
    }
}

static void a_picture_comes_back_with_size_colour_space_and_texts(void **state)
{
    (void)state;
    thaw_image image = make_image();
    unsigned char *bytes = NULL;
    size_t n = 0;
    assert_int_equal(thaw_png_encode(&image, texts, 3, &bytes, &n, NULL), THAW_OK);
    reader r = {bytes, n, 0};
    png_structp png = png_create_read_struct(PNG_LIBPNG_VER_STRING, NULL, NULL, NULL);
    png_infop info = png_create_info_struct(png);
    png_set_read_fn(png, &r, on_read);
    png_read_png(png, info, PNG_TRANSFORM_IDENTITY, NULL);
    assert_int_equal(png_get_image_width(png, info), W);
    assert_int_equal(png_get_image_height(png, info), H);
    assert_int_equal(png_get_color_type(png, info), PNG_COLOR_TYPE_RGB);
    assert_int_equal(png_get_bit_depth(png, info), 8);
    png_bytepp rows = png_get_rows(png, info);
    for (int y = 0; y < H; y++) {
        assert_memory_equal(rows[y], pixels + 3 * W * y, 3 * W);
    }
    png_uint_32 x_per_m, y_per_m;
    int unit, intent;
    assert_int_equal(png_get_pHYs(png, info, &x_per_m, &y_per_m, &unit), PNG_INFO_pHYs);
    assert_int_equal(x_per_m, 500);
    assert_int_equal(y_per_m, 500);
    assert_int_equal(unit, PNG_RESOLUTION_METER);
    assert_int_equal(png_get_sRGB(png, info, &intent), PNG_INFO_sRGB);
    check_texts(png, info);
    png_destroy_read_struct(&png, &info, NULL);
    thaw_release(bytes);
}

static void the_same_picture_gives_the_same_bytes(void **state)
{
    (void)state;
    thaw_image image = make_image();
    unsigned char *a = NULL, *b = NULL;
    size_t n_a = 0, n_b = 0;
    assert_int_equal(thaw_png_encode(&image, texts, 3, &a, &n_a, NULL), THAW_OK);
    assert_int_equal(thaw_png_encode(&image, texts, 3, &b, &n_b, NULL), THAW_OK);
    assert_int_equal(n_a, n_b);
    assert_memory_equal(a, b, n_a);
    thaw_release(a);
    thaw_release(b);
}

static void a_picture_without_size_or_a_bad_keyword_is_refused(void **state)
{
    (void)state;
    thaw_error err = {0};
    unsigned char *bytes = pixels;
    size_t n = 77;
    thaw_image image = make_image();
    image.pixel_m = 0.0;
    assert_int_equal(thaw_png_encode(&image, NULL, 0, &bytes, &n, &err), THAW_ERR_ARGUMENT);
    image.pixel_m = 0.001;
    thaw_png_text bad = {"", "x"};
    assert_int_equal(thaw_png_encode(&image, &bad, 1, &bytes, &n, NULL), THAW_ERR_ARGUMENT);
    assert_ptr_equal(bytes, pixels);
    assert_int_equal(n, 77);
    assert_string_equal(err.text, "a picture needs pixels and a physical size");
}

/* Fails allocation after allocation until the call succeeds. */
static void any_failed_allocation_leaves_the_outputs_untouched(void **state)
{
    (void)state;
    thaw_image image = make_image();
    long failures = 0;
    for (;;) {
        thaw_error err = {0};
        unsigned char *bytes = NULL;
        size_t n = 0;
        thaw_allocate_fail_at(failures + 1);
        thaw_status status = thaw_png_encode(&image, texts, 3, &bytes, &n, &err);
        thaw_allocate_fail_at(0);
        if (status == THAW_OK) {
            thaw_release(bytes);
            break;
        }
        assert_int_equal(status, THAW_ERR_MEMORY);
        assert_null(bytes);
        assert_int_equal(n, 0);
        failures++;
    }
    assert_true(failures > 5);
}

static void the_melt_table_has_units_and_converted_values(void **state)
{
    (void)state;
    double t_s[] = {0.0, 5400.0}, ice[] = {2.0, 1.25}, melt[] = {0.0, 1e-4},
           cloth[] = {293.15, 274.65};
    char *text = NULL;
    assert_int_equal(thaw_melt_curve_text(t_s, ice, melt, cloth, 2, &text, NULL), THAW_OK);
    assert_string_equal(text,
                        "time_h,ice_left_kg,melt_g_per_min,cloth_degC\n0,2,0,20\n1.5,1.25,6,1.5\n");
    thaw_release(text);
}

static void figures_become_json_in_a_fixed_order(void **state)
{
    (void)state;
    thaw_preview_figures f = {.melt_all_s = 7200.0,
                              .melted = true,
                              .white_share = 1.0 / 3.0,
                              .n_palette = 1,
                              .n_dyes = 1,
                              .heat_error = NAN};
    f.palette[0].rgb[0] = 255;
    f.dyes[0] =
        (thaw_dye_account){.name = "blue", .generic = "C.I. Reactive Blue 4", .weighed_kg = 0.0125};
    thaw_figures_head head = {"Gulls \"above\"", "00ff", "0.1.0", 18446744073709551615u};
    char *text = NULL, *again = NULL;
    assert_int_equal(thaw_figures_json(&f, &head, &text, NULL), THAW_OK);
    assert_int_equal(thaw_figures_json(&f, &head, &again, NULL), THAW_OK);
    assert_string_equal(text, again);
    assert_true(strstr(text, "\"white_share\": 0.333333,") != NULL);
    assert_true(strstr(text, "\"title\"") < strstr(text, "\"melt\""));
    json_t *root = json_loads(text, 0, NULL);
    assert_non_null(root);
    assert_string_equal(json_string_value(json_object_get(root, "title")), head.title);
    assert_string_equal(json_string_value(json_object_get(root, "seed")), "18446744073709551615");
    json_t *melt = json_object_get(root, "melt");
    assert_close(json_number_value(json_object_get(melt, "time_all_h")), 2.0, 0.0);
    assert_true(json_is_true(json_object_get(melt, "all_melted")));
    assert_true(json_is_null(json_object_get(json_object_get(root, "ledgers"), "heat_error")));
    json_t *dye = json_array_get(json_object_get(root, "dyes"), 0);
    assert_close(json_number_value(json_object_get(dye, "weighed_g")), 12.5, 0.0);
    json_t *colour = json_array_get(json_object_get(root, "palette"), 0);
    assert_string_equal(json_string_value(json_object_get(colour, "srgb")), "#ff0000");
    json_decref(root);
    thaw_release(text);
    thaw_release(again);
}

/* Both pictures are put on the sheet at one scale, so a plain one covers its true share of it. */
static void a_sheet_shows_both_pictures_at_the_same_scale(void **state)
{
    (void)state;
    static uint8_t red[3 * 100 * 80], blue[3 * 100 * 40];
    for (int i = 0; i < 100 * 80; i++) {
        red[3 * i] = 200;
    }
    for (int i = 0; i < 100 * 40; i++) {
        blue[3 * i + 2] = 200;
    }
    thaw_image a = {100, 80, 0.010, red}, b = {100, 40, 0.005, blue}, sheet = {0};
    thaw_legend legend = {
        .n = 2, .layers = {0, 3}, .rgb = {{250, 250, 250}, {20, 20, 40}}, .line_m = 0.1};
    assert_int_equal(thaw_sheet_fold_map(&a, &b, &legend, "Harbour", &sheet, NULL), THAW_OK);
    double n_red = 0.0, n_blue = 0.0, n_ink = 0.0;
    for (int i = 0; i < sheet.width * sheet.height; i++) {
        const uint8_t *p = sheet.rgb + 3 * i;
        n_red += p[0] == 200 && p[1] == 0;
        n_blue += p[2] == 200 && p[1] == 0;
        n_ink += p[0] < 90 && p[0] == p[1] && p[1] == p[2];
    }
    double pixel_m2 = sheet.pixel_m * sheet.pixel_m;
    assert_close(n_red * pixel_m2, 0.80, 0.01);
    assert_close(n_blue * pixel_m2, 0.10, 0.005);
    assert_true(n_ink > 1000.0);
    assert_memory_equal(sheet.rgb, ((uint8_t[]){255, 255, 255}), 3);
    thaw_release(sheet.rgb);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_picture_comes_back_with_size_colour_space_and_texts),
        cmocka_unit_test(the_same_picture_gives_the_same_bytes),
        cmocka_unit_test(a_picture_without_size_or_a_bad_keyword_is_refused),
        cmocka_unit_test(any_failed_allocation_leaves_the_outputs_untouched),
        cmocka_unit_test(the_melt_table_has_units_and_converted_values),
        cmocka_unit_test(figures_become_json_in_a_fixed_order),
        cmocka_unit_test(a_sheet_shows_both_pictures_at_the_same_scale),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
