/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A new shop folder: every file with its header row and a commented example. */
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "cli.h"

static const struct {
    const char *name;
    const char *text;
} templates[] = {
    {"shop.csv", "# The shop itself. Examples are invented; a row that begins with # is not read.\n"
                 "key,value\n"
                 "# name,Valley fire brigade workshop\n"
                 "# confidence,0.95\n"
                 "# rule,guarded\n"},
    {"engines.csv", "# One row an engine; of a twin, one row a cylinder.\n"
                    "engine,model,note\n"
                    "# PS-01,Alder 66,pump set of the invented example\n"},
    {"models.csv",
     "# What the parts of a model are made of: aluminium, aluminium_high_si, cast_iron, steel or a "
     "number per kelvin.\n"
     "model,cylinder_material,piston_material,ring_material,pin_material,rod_material,run_in_hours,"
     "inspect_every_hours,reborable,note\n"
     "# Alder 66,aluminium,aluminium_high_si,cast_iron,steel,steel,5,150,no,\n"},
    {"limits.csv", "# The limits of your own manual, with their source: topend brings none.\n"
                   "model,quantity,item,unit,new_min,new_max,service_min,service_max,required,"
                   "source\n"
                   "# Alder 66,bore,,mm,66.000,66.020,,66.080,yes,workshop sheet 7 (invented)\n"},
    {"instruments.csv",
     "# Your gauges; expanded_uncertainty (k = 2) from the certificate of calibration.\n"
     "instrument,description,unit,resolution,expanded_uncertainty,repeatability,expansion,set_with,"
     "calibrated,due\n"
     "# MIC-01,outside micrometer 50-75 mm,mm,0.001,0.002,0.001,,,2026-01-10,2027-01-10\n"
     "# BG-01,bore gauge set with MIC-01,mm,0.001,0.0015,0.001,,MIC-01,2026-01-10,2027-01-10\n"},
    {"parts.csv", "# Which part was on which engine, from and to which engine hours; ? where its "
                  "history is not known.\n"
                  "part,kind,engine,fitted_hours,removed_hours,hours_before,oversize,note\n"
                  "# K-0101,piston,PS-01,0,,,,\n"},
    {"inspections.csv",
     "# One row a time at which an engine was measured, as found or as built.\n"
     "inspection,engine,date,hours,state,temperature,temperature_uncertainty,by,note\n"
     "# PS-01-2026-03,PS-01,2026-03-14,215.5,found,19.5,1,,\n"},
    {"readings.csv",
     "# The readings, one row a place; readings/ may hold more such files.\n"
     "inspection,feature,part,item,position,direction,reading,reading_2,reading_3,reading_4,"
     "reading_5,no_go,zero,unit,instrument,note\n"
     "# PS-01-2026-03,bore,,,10,thrust,66.012,66.013,,,,,,mm,BG-01,\n"},
    {"condition.csv", "# What the eye found: note, watch or reject.\n"
                      "inspection,part,finding,severity\n"
                      "# PS-01-2026-03,piston,light scuffing on the thrust side,watch\n"},
    {"spares.csv", "# What lies on the shelf.\n"
                   "spare,kind,model,feature,item,size,tolerance,unit,oversize,price,note\n"
                   "# K-GRADE-B,piston,Alder 66,skirt,,65.955,0.005,mm,,42.50,\n"},
    {"plan.csv", "# What is to be measured, in the order of measuring.\n"
                 "model,feature,item,position,direction,repeats,instrument\n"
                 "# Alder 66,bore,,10,thrust,2,BG-01\n"},
};
enum { TEMPLATES = sizeof templates / sizeof *templates };

/* A folder that could be made has a name of at most 4,096 bytes. */
enum { PATH_SIZE = 4096 + 64 };

static const char *path_of(char path[PATH_SIZE], const char *folder, const char *name)
{
    (void)snprintf(path, PATH_SIZE, "%s/%s", folder, name);
    return path;
}

/* True when the folder has none of the files. */
static bool is_free(const char *folder)
{
    char shown[SHOWN_SIZE];
    char path[PATH_SIZE];
    for (size_t i = 0; i <= TEMPLATES; i++) {
        const char *name = i < TEMPLATES ? templates[i].name : "readings";
        struct stat about;
        if (lstat(path_of(path, folder, name), &about) == 0) {
            (void)fail("\"%s\" has %s already; nothing was written", show(shown, folder), name);
            return false;
        }
    }
    return true;
}

/* Writes a file that must not exist yet; false leaves none behind. */
static bool write_new(const char *path, const char *text)
{
    size_t length = strlen(text);
    size_t done = 0;
    int file = open(path, O_WRONLY | O_CREAT | O_EXCL, 0666);
    if (file < 0) {
        return false;
    }
    while (done < length) {
        ssize_t written = write(file, text + done, length - done);
        if (written < 0 && errno == EINTR) {
            continue;
        }
        if (written <= 0) {
            break;
        }
        done += (size_t)written;
    }
    bool good = done == length && fsync(file) == 0;
    good = close(file) == 0 && good;
    if (!good) {
        (void)unlink(path);
    }
    return good;
}

static bool write_files(const char *folder)
{
    size_t written = 0;
    char shown[SHOWN_SIZE];
    char path[PATH_SIZE];
    for (; written < TEMPLATES; written++) {
        if (!write_new(path_of(path, folder, templates[written].name), templates[written].text)) {
            (void)fail("%s cannot be written in \"%s\"; nothing was left behind",
                       templates[written].name, show(shown, folder));
            break;
        }
    }
    for (size_t i = 0; i < written && written < TEMPLATES; i++) {
        (void)unlink(path_of(path, folder, templates[i].name));
    }
    return written == TEMPLATES;
}

/* What is said in the end is made before anything else, so that nothing stands behind when memory is out. */
static void put_words(te_buffer *buffer, const char *folder)
{
    te_buffer_text(buffer, "Made the shop folder ");
    te_buffer_safe(buffer, folder);
    te_buffer_text(buffer,
                   ".\nFill in engines.csv, limits.csv, inspections.csv and readings.csv; the "
                   "other\nfiles each add something. Then: topend check ");
    te_buffer_safe(buffer, folder);
    te_buffer_text(buffer, "\n");
}

int cmd_init(const struct options *options)
{
    const char *folder = options->folder;
    char shown[SHOWN_SIZE];
    int code = EXIT_FAILED;
    te_buffer buffer = {0};
    put_words(&buffer, folder);
    if (buffer.failed) {
        code = fail("out of memory");
        goto done;
    }
    bool made = mkdir(folder, 0777) == 0;
    if (!made && errno != EEXIST) {
        code = fail("the folder \"%s\" cannot be made", show(shown, folder));
    } else if (is_free(folder) && write_files(folder)) {
        code = output_flush(&buffer) ? EXIT_GOOD : EXIT_FAILED;
    } else if (made) {
        (void)rmdir(folder);
    }
done:
    te_buffer_free(&buffer);
    return code;
}
