# SPDX-License-Identifier: GPL-3.0-or-later
#
# libcsv, which ships no package file of its own: the target Libcsv::Libcsv.
find_path(LIBCSV_INCLUDE_DIR csv.h)
find_library(LIBCSV_LIBRARY csv)
mark_as_advanced(LIBCSV_INCLUDE_DIR LIBCSV_LIBRARY)
include(FindPackageHandleStandardArgs)
find_package_handle_standard_args(Libcsv REQUIRED_VARS LIBCSV_LIBRARY LIBCSV_INCLUDE_DIR)
if(Libcsv_FOUND AND NOT TARGET Libcsv::Libcsv)
  add_library(Libcsv::Libcsv UNKNOWN IMPORTED)
  set_target_properties(Libcsv::Libcsv PROPERTIES
    IMPORTED_LOCATION "${LIBCSV_LIBRARY}" INTERFACE_INCLUDE_DIRECTORIES "${LIBCSV_INCLUDE_DIR}")
endif()
