/* A photograph of a forecast - turned, tilted, dimmed, under yellow light - gives the forecast's figures back; records
 * merge, and none is lost by a write that fails. */
#include "check.h"

#include <stdlib.h>

#include <jpeglib.h>

#include "base/alloc.h"
#include "base/file.h"
#include "base/photo.h"
#include "look/colour.h"
#include "look/measure.h"
#include "data/cloths.h"
#include "model/image.h"
#include "output/png.h"
#include "thawprint/preview.h"
#include "thawprint/record.h"

#define DIR "record_out"
#define WIDE 1500
#define HIGH 1300

static const char SCENARIO[] =
    "title: Photographed sail\ncloth: { kind: cotton twill, width: 44 cm, length: 40 cm }\nfold: [ scrunch: { to: 60 % } ]\n"
    "ice: [ { kind: crushed, mass: 500 g, area: left half } ]\n"
    "dye: [ { colour: turquoise, mass: 1 g, area: left half }, { colour: fuchsia, mass: 500 mg, area: left half } ]\n"
    "leave: 6 h\ndetail: draft\nseed: 4\n";

/* Where the corners of the cloth fall in the photograph: turned by some 12 degrees, its far end smaller. */
static const double CORNERS[4][2] = {{330.0, 160.0}, {1240.0, 300.0}, {1190.0, 1210.0}, {170.0, 1080.0}};
static const char CORNERS_TEXT[] = "330,160, 1240,300, 1190,1210, 170,1080";
static const double LAMP[3] = {0.66, 0.55, 0.36}; /* dim and yellow */
#define SCRAP_X 1390
#define SCRAP_Y 150

static thaw_picture cloth;         /* cloth-dry.png */

static void write_file(const char *path, const void *bytes, size_t n)
{
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    assert_int_equal(fwrite(bytes, 1, n, file), n);
    assert_int_equal(fclose(file), 0);
}

static char *read_file(const char *path, size_t *n)
{
    char *text = NULL;
    bool whole = false;
    thaw_error err = {0};
    assert_int_equal(thaw_file_read(path, (size_t)1 << 26, &text, n, &whole, &err), THAW_OK);
    return text;
}

static thaw_preview_figures forecast;

static int make_forecast(void **state)
{
    (void)state;
    thaw_scenario *scenario = NULL;
    thaw_preview *preview = NULL;
    thaw_error err = {0};
    const thaw_preview_options options = {.threads = 1, .without_ranges = true};
    size_t n = 0;
    write_file("record_scenario.yaml", SCENARIO, strlen(SCENARIO));
    assert_int_equal(thaw_scenario_load("record_scenario.yaml", &scenario, &err), THAW_OK);
    assert_int_equal(thaw_preview_run(scenario, &options, &preview, &err), THAW_OK);
    assert_int_equal(thaw_preview_write(preview, DIR, &err), THAW_OK);
    forecast = *thaw_preview_get_figures(preview);
    thaw_preview_destroy(preview);
    thaw_scenario_destroy(scenario);
    remove("record_scenario.yaml");
    char *bytes = read_file(DIR "/cloth-dry.png", &n);
    assert_int_equal(thaw_picture_decode(bytes, n, &cloth, &err), THAW_OK);
    thaw_release(bytes);
    return 0;
}

static int clear(void **state)
{
    (void)state;
    static const char *const files[] = {"record.json", "record-photo.png", "cloth-dry.png", "cloth-wet.png", "bundle.png", "fold-map.png",
                                        "melt-curve.csv", "figures.json", "scenario.yaml"};
    for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
        char path[64];
        snprintf(path, sizeof path, DIR "/%s", files[i]);
        remove(path);
    }
    remove(DIR);
    remove("record_photo.png");
    remove("record_photo.jpg");
    thaw_release(cloth.rgba);
    return 0;
}

/* --- A camera, written apart from the code that is tested: for each of its pixels it looks where on the cloth the
 * ray ends, by Newton's method on the bilinear-projective map, and averages sixteen rays. -------------------- */

typedef struct map {
    double m[3][3];                /* unit square -> photograph, homogeneous */
} map;

/* Eight equations for the eight numbers of the map, by elimination. */
static void find_map(map *out)
{
    static const double unit[4][2] = {{0, 0}, {1, 0}, {1, 1}, {0, 1}};
    double a[8][9];
    for (int i = 0; i < 4; i++) {
        const double u = unit[i][0], v = unit[i][1], x = CORNERS[i][0], y = CORNERS[i][1];
        const double rows[2][9] = {{u, v, 1, 0, 0, 0, -u * x, -v * x, x}, {0, 0, 0, u, v, 1, -u * y, -v * y, y}};
        memcpy(a[2 * i], rows[0], sizeof rows[0]);
        memcpy(a[2 * i + 1], rows[1], sizeof rows[1]);
    }
    for (int c = 0; c < 8; c++) {
        int best = c;
        for (int r = c; r < 8; r++) {
            best = fabs(a[r][c]) > fabs(a[best][c]) ? r : best;
        }
        for (int k = 0; k < 9; k++) {
            const double kept = a[c][k];
            a[c][k] = a[best][k];
            a[best][k] = kept;
        }
        for (int r = 0; r < 8; r++) {
            const double by = r == c ? 0.0 : a[r][c] / a[c][c];
            for (int k = 0; k < 9; k++) {
                a[r][k] -= by * a[c][k];
            }
        }
    }
    for (int i = 0; i < 8; i++) {
        out->m[i / 3][i % 3] = a[i][8] / a[i][i];
    }
    out->m[2][2] = 1.0;
}

/* The place on the cloth (unit square) of a place in the photograph: two linear equations. */
static void look_up(const map *h, double x, double y, double *u, double *v)
{
    const double (*m)[3] = h->m;
    const double a = m[0][0] - x * m[2][0], b = m[0][1] - x * m[2][1], c = x * m[2][2] - m[0][2];
    const double d = m[1][0] - y * m[2][0], e = m[1][1] - y * m[2][1], f = y * m[2][2] - m[1][2];
    *u = (c * e - b * f) / (a * e - b * d);
    *v = (a * f - c * d) / (a * e - b * d);
}

static void cloth_light(double u, double v, double rgb[3])
{
    const double x = fmin(fmax(u * cloth.width - 0.5, 0.0), cloth.width - 1.001), y = fmin(fmax(v * cloth.height - 0.5, 0.0), cloth.height - 1.001);
    const int i = (int)x, j = (int)y;
    for (int c = 0; c < 3; c++) {
        double sum = 0.0;
        for (int q = 0; q < 4; q++) {
            const uint8_t byte = cloth.rgba[4 * ((j + q / 2) * cloth.width + i + q % 2) + c];
            sum += (q % 2 ? x - i : 1.0 - x + i) * (q / 2 ? y - j : 1.0 - y + j) * thaw_colour_decode(byte / 255.0);
        }
        rgb[c] = sum;
    }
}

/* A dark table, the cloth on it, and a scrap of undyed cloth at its side. */
static void take(uint8_t *rgb)
{
    map h;
    double xyz[3], bare[3];
    find_map(&h);
    thaw_look_bare(thaw_cloths_find("cotton twill"), xyz);
    thaw_colour_linear(xyz, bare);
    for (int y = 0; y < HIGH; y++) {
        for (int x = 0; x < WIDE; x++) {
            double sum[3] = {0.0, 0.0, 0.0};
            for (int q = 0; q < 4; q++) {
                double u, v, at[3] = {0.05, 0.04, 0.03};
                const double px = x + 0.25 + 0.5 * (q % 2), py = y + 0.25 + 0.5 * (q / 2);
                look_up(&h, px, py, &u, &v);
                if (u >= 0.0 && u <= 1.0 && v >= 0.0 && v <= 1.0) {
                    cloth_light(u, v, at);
                } else if (fabs(px - SCRAP_X) < 50.0 && fabs(py - SCRAP_Y) < 50.0) {
                    memcpy(at, bare, sizeof at);
                }
                for (int c = 0; c < 3; c++) {
                    sum[c] += 0.25 * at[c] * LAMP[c];
                }
            }
            for (int c = 0; c < 3; c++) {
                rgb[3 * ((size_t)y * WIDE + (size_t)x) + (size_t)c] = (uint8_t)(255.0 * thaw_colour_encode(sum[c]) + 0.5);
            }
        }
    }
}

static void write_jpeg(const char *path, uint8_t *rgb)
{
    struct jpeg_compress_struct jpeg;
    struct jpeg_error_mgr errors;
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    jpeg.err = jpeg_std_error(&errors);
    jpeg_create_compress(&jpeg);
    jpeg_stdio_dest(&jpeg, file);
    jpeg.image_width = WIDE;
    jpeg.image_height = HIGH;
    jpeg.input_components = 3;
    jpeg.in_color_space = JCS_RGB;
    jpeg_set_defaults(&jpeg);
    jpeg_set_quality(&jpeg, 92, TRUE);
    jpeg_start_compress(&jpeg, TRUE);
    while (jpeg.next_scanline < jpeg.image_height) {
        JSAMPROW rows[1] = {rgb + 3 * (size_t)jpeg.next_scanline * WIDE};
        jpeg_write_scanlines(&jpeg, rows, 1);
    }
    jpeg_finish_compress(&jpeg);
    jpeg_destroy_compress(&jpeg);
    assert_int_equal(fclose(file), 0);
}

static uint8_t *photograph(void)
{
    uint8_t *rgb = malloc((size_t)3 * WIDE * HIGH);
    assert_non_null(rgb);
    take(rgb);
    return rgb;
}

static thaw_record *record(const thaw_record_options *options)
{
    thaw_record *r = NULL;
    thaw_error err = {0};
    if (thaw_record_open(DIR, options, &r, &err) != THAW_OK) {
        print_error("%s\n", err.text);
        fail();
    }
    if (thaw_record_is_new(r)) {
        assert_int_equal(thaw_record_write(r, &err), THAW_OK);
    }
    return r;
}

static void check_figures(const thaw_photo_figures *p, double tolerance)
{
    printf("forecast | photograph: white %.2f | %.2f %%, fineness %.4f | %.4f, grain %.2f | %.2f, %.2f | %.2f mm\n",
           100.0 * forecast.white_share, p->white_percent, forecast.fineness, p->fineness, 1e3 * forecast.grain_weft_m,
           p->grain_weft_mm, 1e3 * forecast.grain_warp_m, p->grain_warp_mm);
    printf("bleed %.2f | %.2f %%\n", 100.0 * forecast.bleed_share, p->bleed_percent);
    assert_true(forecast.white_share > 0.1 && forecast.white_share < 0.9); /* else nothing is tested */
    assert_close(p->white_percent / (100.0 * forecast.white_share), 1.0, tolerance);
    assert_true(forecast.bleed_share > 0.1 && forecast.bleed_share < 0.9);
    assert_close(p->bleed_percent / (100.0 * forecast.bleed_share), 1.0, tolerance);
    assert_close(p->fineness / forecast.fineness, 1.0, tolerance);
    assert_close(p->grain_weft_mm / (1e3 * forecast.grain_weft_m), 1.0, tolerance);
    assert_close(p->grain_warp_mm / (1e3 * forecast.grain_warp_m), 1.0, tolerance);
}

/* How far the colours of the cloth lie from the nearest of five, root mean square. */
static double distance(double (*five)[3], int n)
{
    double sum = 0.0;
    const int n_pixels = cloth.width * cloth.height;
    for (int p = 0; p < n_pixels; p++) {
        double rgb[3], xyz[3], lab[3], nearest = INFINITY;
        for (int c = 0; c < 3; c++) {
            rgb[c] = thaw_colour_decode(cloth.rgba[4 * p + c] / 255.0);
        }
        thaw_colour_xyz(rgb, xyz);
        thaw_colour_lab(xyz, lab);
        for (int k = 0; k < n; k++) {
            nearest = fmin(nearest, pow(lab[0] - five[k][0], 2.0) + pow(lab[1] - five[k][1], 2.0) + pow(lab[2] - five[k][2], 2.0));
        }
        sum += nearest;
    }
    return sqrt(sum / n_pixels);
}

/* The typical colours of the photograph stand for the cloth as well as those of the forecast do. They need not be the same:
 * k-means often has two ways, as good as each other, to part the colours of a cloth in five. */
static void check_palette(const thaw_photo_figures *photo)
{
    double ours[5][3], theirs[5][3];
    for (int i = 0; i < 5; i++) {
        memcpy(ours[i], forecast.palette[i].lab, sizeof ours[i]);
        memcpy(theirs[i], photo->palette[i < photo->n_palette ? i : 0].lab, sizeof theirs[i]);
    }
    const double own = distance(ours, 5), other = distance(theirs, 5);
    printf("from the cloth to its five typical colours %.2f, to those of the photograph %.2f\n", own, other);
    assert_at_most(other, own + 0.3);
}

static void a_turned_tilted_dim_yellow_photograph_gives_the_forecast_back(void **state)
{
    (void)state;
    uint8_t *rgb = photograph();
    const thaw_image image = {WIDE, HIGH, 1e-3, rgb};
    unsigned char *bytes = NULL;
    size_t n = 0;
    char white_at[32];
    thaw_error err = {0};
    snprintf(white_at, sizeof white_at, "%d,%d", SCRAP_X, SCRAP_Y);
    assert_int_equal(thaw_png_encode(&image, NULL, 0, &bytes, &n, &err), THAW_OK);
    write_file("record_photo.png", bytes, n);
    thaw_release(bytes);
    write_jpeg("record_photo.jpg", rgb);
    free(rgb);
    thaw_record_options options = {.photo = "record_photo.png", .corners = CORNERS_TEXT, .white_at = white_at};
    thaw_record *r = record(&options);
    check_figures(&thaw_record_facts(r)->photo, 0.10);
    check_palette(&thaw_record_facts(r)->photo);
    thaw_record_destroy(r);
    options.photo = "record_photo.jpg";
    r = record(&options);
    check_figures(&thaw_record_facts(r)->photo, 0.10);
    check_palette(&thaw_record_facts(r)->photo);
    assert_true(thaw_record_facts(r)->photo.is_straightened && thaw_record_facts(r)->photo.is_balanced);
    thaw_record_destroy(r);
}

static void without_corners_and_white_the_same_photograph_does_not(void **state)
{
    (void)state;
    const thaw_record_options options = {.photo = "record_photo.png"};
    thaw_record *r = NULL;
    thaw_error err = {0};
    assert_int_equal(thaw_record_open(DIR, &options, &r, &err), THAW_OK); /* not written */
    const thaw_photo_figures *p = &thaw_record_facts(r)->photo;
    assert_false(p->is_straightened || p->is_balanced);
    assert_true(fabs(p->white_percent / (100.0 * forecast.white_share) - 1.0) > 0.5);
    thaw_record_destroy(r);
}

static void the_picture_of_the_forecast_itself_gives_the_forecast_back(void **state)
{
    (void)state;
    const thaw_record_options options = {.photo = DIR "/cloth-dry.png"};
    thaw_record *r = NULL;
    thaw_error err = {0};
    assert_int_equal(thaw_record_open(DIR, &options, &r, &err), THAW_OK);
    check_figures(&thaw_record_facts(r)->photo, 0.10);
    thaw_record_destroy(r);
}

/* --- Records ------------------------------------------------------------------------------------ */

static void a_second_record_adds_to_the_first(void **state)
{
    (void)state;
    const thaw_record_options first = {.melted = "6 h", .white = "12 %", .remark = "green at the hem"};
    const thaw_record_options second = {.melted = "330 min", .climbed = "1 ft", .remark = "dried in the sun"};
    thaw_record_destroy(record(&first));
    thaw_record_destroy(record(&second));
    const thaw_record_options none = {0};
    thaw_record *r = record(&none);
    const thaw_facts *f = thaw_record_facts(r);
    assert_close(f->melted_h, 5.5, 1e-6);
    assert_close(f->white_percent, 12.0, 1e-6);
    assert_close(f->climb_cm, 30.48, 1e-4);
    assert_true(isnan(f->rinsed_h));
    assert_string_equal(f->remarks, "green at the hem\ndried in the sun");
    assert_true(f->has_photo); /* of the test before */
    assert_false(thaw_record_is_new(r));
    thaw_record_destroy(r);
}

static void keys_of_others_stay_in_the_record(void **state)
{
    (void)state;
    const char text[] = "{\"melted_h\": 4, \"weather\": \"fog\"}";
    write_file(DIR "/record.json", text, strlen(text));
    const thaw_record_options options = {.rinsed = "20 h"};
    thaw_record_destroy(record(&options));
    size_t n = 0;
    char *now = read_file(DIR "/record.json", &n);
    assert_non_null(strstr(now, "\"weather\": \"fog\""));
    assert_non_null(strstr(now, "\"melted_h\": 4.0"));
    assert_non_null(strstr(now, "\"rinsed_h\": 20.0"));
    thaw_release(now);
}

static void a_write_that_fails_leaves_the_record_as_it_was(void **state)
{
    (void)state;
    const thaw_record_options first = {.melted = "6 h"}, second = {.melted = "9 h", .photo = "record_photo.png"};
    thaw_record_destroy(record(&first));
    size_t n = 0, later = 0;
    char *before = read_file(DIR "/record.json", &n);
    thaw_record *r = NULL;
    thaw_error err = {0};
    assert_int_equal(thaw_record_open(DIR, &second, &r, &err), THAW_OK);
    int failures = 0;
    for (long count = 1; count < 200; count++) {
        thaw_error why = {0};
        thaw_allocate_fail_at(count);
        const thaw_status status = thaw_record_write(r, &why);
        thaw_allocate_fail_at(0);
        if (status == THAW_OK) {
            break;
        }
        failures++;
        char *after = read_file(DIR "/record.json", &later);
        assert_int_equal(n, later);
        assert_memory_equal(before, after, n);
        thaw_release(after);
    }
    assert_true(failures > 3);
    thaw_record_destroy(r);
    thaw_release(before);
}

static void broken_records_and_photographs_are_refused(void **state)
{
    (void)state;
    static const struct {
        const char *record, *said;
    } cases[] = {{"{\"melted_h\": ", "not valid JSON"}, {"[1]", "object"}, {"{\"melted_h\": \"six\"}", "melted_h: a number"},
                 {"{\"white_percent\": 300}", "300 is not allowed"}, {"{\"melted_h\": 1, \"melted_h\": 2}", "duplicate"}};
    const thaw_record_options options = {.melted = "6 h"};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        thaw_record *r = NULL;
        thaw_error err = {0};
        write_file(DIR "/record.json", cases[i].record, strlen(cases[i].record));
        assert_int_equal(thaw_record_open(DIR, &options, &r, &err), THAW_ERR_SCENARIO);
        if (!strstr(err.text, cases[i].said)) {
            print_error("no `%s` in %s\n", cases[i].said, err.text);
            fail();
        }
        assert_null(r);
    }
    remove(DIR "/record.json");
    size_t n = 0;
    char *jpeg = read_file("record_photo.jpg", &n);
    for (size_t part = 1; part <= 9; part++) { /* cut short anywhere */
        thaw_picture picture = {0};
        thaw_error err = {0};
        assert_int_equal(thaw_photo_decode(jpeg, n * part / 10, &picture, &err), THAW_ERR_SCENARIO);
        assert_null(picture.rgba);
    }
    thaw_release(jpeg);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_turned_tilted_dim_yellow_photograph_gives_the_forecast_back),
        cmocka_unit_test(without_corners_and_white_the_same_photograph_does_not),
        cmocka_unit_test(the_picture_of_the_forecast_itself_gives_the_forecast_back),
        cmocka_unit_test(a_second_record_adds_to_the_first),
        cmocka_unit_test(keys_of_others_stay_in_the_record),
        cmocka_unit_test(a_write_that_fails_leaves_the_record_as_it_was),
        cmocka_unit_test(broken_records_and_photographs_are_refused),
    };
    return cmocka_run_group_tests(tests, make_forecast, clear);
}
