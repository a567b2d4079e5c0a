# SPDX-License-Identifier: GPL-3.0-or-later
#
# Debian packages, by `cpack` in a build for the prefix /usr: topend, and libtopend-dev to build
# other programs with its layers. tests/check-deb shows how, and that the same sources give the same
# bytes when SOURCE_DATE_EPOCH is set.
foreach(name IN ITEMS topend libtopend-dev)
  if(name STREQUAL topend)
    set(component program)
  else()
    set(component development)
  endif()
  install(FILES ${CMAKE_CURRENT_LIST_DIR}/copyright
          DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/${name} COMPONENT ${component})
endforeach()

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGING_INSTALL_PREFIX ${CMAKE_INSTALL_PREFIX})
set(CPACK_PACKAGE_VENDOR "topend maintainers")
set(CPACK_PACKAGE_CONTACT "topend maintainers <topend@example.org>")
set(CPACK_STRIP_FILES ON)
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS ${CMAKE_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS})
set(CPACK_COMPONENTS_ALL program development)
set(CPACK_DEB_COMPONENT_INSTALL ON)
# Else it would be the first line of both descriptions.
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "")
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_CONTROL_STRICT_PERMISSION ON)

set(CPACK_DEBIAN_PROGRAM_PACKAGE_NAME topend)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_DEPENDS fonts-dejavu-core) # the letters of a PDF
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SUGGESTS bash-completion)
set(CPACK_DEBIAN_PROGRAM_DESCRIPTION "judges the measured top end of a small two-stroke engine
Reads what was measured on a stripped engine from CSV files, sets every value
against the limits of the maker's manual, which are to be supplied, and takes the
uncertainty of the gauges and the temperature into account. Tells which parts may
be reused, how fast they wear, and which engine is due first; writes reports as
text, HTML and PDF.")

set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_NAME libtopend-dev)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_DEPENDS
    "libcsv-dev, libgsl-dev, libjansson-dev, libpango1.0-dev, pkg-config")
set(CPACK_DEBIAN_DEVELOPMENT_DESCRIPTION "builds programs that judge the top end of a two-stroke engine
Headers, static libraries and package files of the layers of topend: reading a
shop's files, measuring, judging, wear, reports.")
include(CPack)
