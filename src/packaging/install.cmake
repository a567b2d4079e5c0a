# SPDX-License-Identifier: GPL-3.0-or-later
#
# What is installed, in two components: the program with what belongs to it, and what one needs to
# build other programs with its layers.
include(CMakePackageConfigHelpers)
set(here ${CMAKE_CURRENT_LIST_DIR})
set(made ${CMAKE_CURRENT_BINARY_DIR}/packaging)
get_property(layers GLOBAL PROPERTY TOPEND_LAYERS)

# Else the folders that an installation makes have the permissions of whoever installs.
set(CMAKE_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS
    OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE WORLD_READ WORLD_EXECUTE)

# ---- the program ----
set(shared ${CMAKE_INSTALL_DATADIR})
install(TARGETS topend RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR} COMPONENT program)
install(TARGETS topend_pdf LIBRARY DESTINATION ${module_dir} COMPONENT program)
install(FILES docs/topend.1 DESTINATION ${CMAKE_INSTALL_MANDIR}/man1 COMPONENT program)
install(FILES README.md LICENSE DESTINATION ${CMAKE_INSTALL_DOCDIR} COMPONENT program)
install(DIRECTORY docs sample-data DESTINATION ${CMAKE_INSTALL_DOCDIR} COMPONENT program
        FILES_MATCHING PATTERN "*.md" PATTERN "*.csv")

# zsh looks for what a Debian package brings in another folder than for what else is there.
if(CMAKE_INSTALL_PREFIX STREQUAL /usr)
  set(zsh_dir ${shared}/zsh/vendor-completions)
else()
  set(zsh_dir ${shared}/zsh/site-functions)
endif()
install(FILES src/completions/topend.bash RENAME topend
        DESTINATION ${shared}/bash-completion/completions COMPONENT program)
install(FILES src/completions/_topend DESTINATION ${zsh_dir} COMPONENT program)
install(FILES src/completions/topend.fish
        DESTINATION ${shared}/fish/vendor_completions.d COMPONENT program)

# ---- the layers ----
set(package_dir ${CMAKE_INSTALL_LIBDIR}/cmake/topend)
list(TRANSFORM layers PREPEND te_ OUTPUT_VARIABLE layer_targets)
install(TARGETS ${layer_targets} EXPORT topendTargets
        ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT development)
install(DIRECTORY include/topend DESTINATION ${CMAKE_INSTALL_INCLUDEDIR} COMPONENT development)
install(EXPORT topendTargets NAMESPACE topend:: DESTINATION ${package_dir} COMPONENT development)

list(TRANSFORM layers PREPEND topend:: OUTPUT_VARIABLE CONFIG_TARGETS)
list(JOIN CONFIG_TARGETS ", " CONFIG_TARGETS)
list(JOIN layers " " CONFIG_LAYERS)
configure_package_config_file(${here}/topendConfig.cmake.in ${made}/topendConfig.cmake
                              INSTALL_DESTINATION ${package_dir})
write_basic_package_version_file(${made}/topendConfigVersion.cmake
                                 COMPATIBILITY SameMinorVersion)
install(FILES ${made}/topendConfig.cmake ${made}/topendConfigVersion.cmake
              ${here}/FindLibcsv.cmake
        DESTINATION ${package_dir} COMPONENT development)

# pkg-config: found from where its file stands, so that the whole can be moved. A linker wants the
# layers from right to left.
set(pc_dir ${CMAKE_INSTALL_LIBDIR}/pkgconfig)
file(RELATIVE_PATH up ${CMAKE_INSTALL_FULL_LIBDIR}/pkgconfig ${CMAKE_INSTALL_PREFIX})
string(REGEX REPLACE "/$" "" up "${up}")
set(PC_PREFIX "\${pcfiledir}/${up}")
cmake_path(APPEND PC_LIBDIR "\${prefix}" ${CMAKE_INSTALL_LIBDIR})
cmake_path(APPEND PC_INCLUDEDIR "\${prefix}" ${CMAKE_INSTALL_INCLUDEDIR})
list(REMOVE_ITEM layers pdf)
list(REVERSE layers)
list(TRANSFORM layers PREPEND -ltopend- OUTPUT_VARIABLE PC_LIBS)
list(JOIN PC_LIBS " " PC_LIBS)
foreach(name IN ITEMS topend topend-pdf)
  configure_file(${here}/${name}.pc.in ${made}/${name}.pc @ONLY)
  install(FILES ${made}/${name}.pc DESTINATION ${pc_dir} COMPONENT development)
endforeach()

# Packages are for that prefix alone: it decides where things belong.
if(CMAKE_INSTALL_PREFIX STREQUAL /usr)
  include(${here}/deb.cmake)
endif()
