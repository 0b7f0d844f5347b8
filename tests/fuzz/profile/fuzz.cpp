#include <slotwitness/profiles/profile.hpp>

#include <cstdint>
#include <cstdlib>
#include <string_view>

using namespace slotwitness;

/// A profile, and after a NUL byte perhaps an answer to its queries. What is refused says why; what
/// is read can be asked and read with.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view input{reinterpret_cast<const char*>(data), size};
    const std::string_view toml = input.substr(0, input.find('\0'));
    const std::string_view answer = toml.size() < size ? input.substr(toml.size() + 1) : "";
    const auto profile = profiles::parse_profile(toml, "profile.toml");
    if (!profile) {
        if (profile.error().empty())
            std::abort();
        for (const state::Problem& problem : profile.error())
            if (problem.expected.empty() || problem.remedy.empty())
                std::abort();
        return 0;
    }
    for (const profiles::Asking& asking : profiles::all_queries(*profile)) {
        if (!profiles::request_bytes(*profile, asking) ||
            profiles::from_key(*profile, asking.key()) != asking)
            std::abort();
        for (const state::Row& row : profiles::read(*profile, asking.query, answer, true).rows)
            if (row.name.empty())
                std::abort();
    }
    return 0;
}
