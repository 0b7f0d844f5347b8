#pragma once

#include <slotwitness/keys/fields.hpp>
#include <slotwitness/links/link.hpp>

#include <filesystem>
#include <map>
#include <string>
#include <vector>

namespace slotwitness::program {

/// A path of the configuration, which is relative to the configuration's folder.
[[nodiscard]] std::string beside(const std::filesystem::path& folder, const std::string& path);

/// How a chassis or bastion is reached, and what both sides show: address to host-keys in its
/// table.
[[nodiscard]] links::Target read_target(keys::Fields& fields, keys::Problems& problems,
                                        const std::filesystem::path& folder);

/// Further addresses of a chassis: `also-at`, which may be left out.
[[nodiscard]] std::vector<std::string> read_also_at(keys::Fields& chassis,
                                                    const std::string& address);

/// The jump hosts, by name: every `[[bastion]]`.
using BastionBook = std::map<std::string, links::Target>;
[[nodiscard]] BastionBook read_bastions(keys::Fields& root, keys::Problems& problems,
                                        const std::filesystem::path& folder);

/// The way of a chassis through them: `through`, which may be left out.
[[nodiscard]] std::vector<links::Hop> read_way(keys::Fields& chassis, const BastionBook& bastions);

} // namespace slotwitness::program
