#include "config.hpp"

#include "config_access.hpp"
#include "config_target.hpp"
#include "exit_code.hpp"
#include "files.hpp"

#include <slotwitness/keys/fields.hpp>
#include <slotwitness/procedures/procedure.hpp>

#include <algorithm>
#include <filesystem>
#include <iostream>
#include <set>
#include <utility>

namespace slotwitness::program {

namespace {

namespace fs = std::filesystem;
using namespace std::chrono_literals;
using keys::Fields;
using Problems = std::vector<state::Problem>;

/// A chassis name stands in addresses and file names.
constexpr std::string_view name_characters =
    "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_.";

constexpr units::Duration longest = std::chrono::hours(24);

class ConfigReader {
  public:
    explicit ConfigReader(const keys::File& file)
        : file_(file), folder_(fs::path(file.name).parent_path()), problems_({&file, 1}) {}

    tl::expected<Config, Problems> read() && {
        Config config;
        if (const auto root = keys::parse(file_, problems_))
            config = read(*root);
        Problems found = std::move(problems_).take();
        std::move(of_files_.begin(), of_files_.end(), std::back_inserter(found));
        if (!found.empty())
            return tl::unexpected(std::move(found));
        return config;
    }

  private:
    Config read(const toml::table& root) {
        Config config;
        Fields fields(root, "the configuration", problems_);
        fields.require("daemon", "[daemon] with journal = \"slotwitness.journal\"");
        if (const toml::table* daemon = fields.table("daemon"))
            read_daemon(*daemon, config);
        bastions_ = read_bastions(fields, problems_, folder_);
        fields.require("chassis", "[[chassis]] for each router; README.md shows how");
        std::set<std::string> names;
        for (const toml::table* table : fields.tables("chassis")) {
            Fields one(*table, "[[chassis]]", problems_);
            desk::ChassisSettings settings = read_chassis(one);
            if (!settings.name.empty() && !names.insert(settings.name).second)
                one.wrong("name", settings.name, "a name of its own for each chassis",
                          "Rename one of the two.");
            one.finish();
            config.chassis.push_back(std::move(settings));
        }
        fields.finish();
        return config;
    }

    [[nodiscard]] std::string beside(const std::string& path) const {
        return program::beside(folder_, path);
    }

    void read_daemon(const toml::table& table, Config& config) {
        Fields fields(table, "[daemon]", problems_);
        config.journal = beside(fields.required_text("journal", "slotwitness.journal"));
        for (const std::string& path : fields.texts("procedures"))
            read_procedure(beside(path), fields, config);
        config.access = read_access(fields, folder_);
        desk::Reconnect& reconnect = config.reconnect;
        reconnect.first =
            fields.duration("reconnect-first", 1ms, longest).value_or(reconnect.first);
        reconnect.longest =
            fields.duration("reconnect-longest", 1ms, longest).value_or(reconnect.longest);
        if (reconnect.longest < reconnect.first)
            fields.wrong("reconnect-longest", units::to_text(reconnect.longest),
                         "at least reconnect-first, " + units::to_text(reconnect.first),
                         "Raise it.");
        constexpr std::int64_t most_at_once = 1'000;
        if (const auto at_once = fields.integer("handshakes-at-once", 1, most_at_once))
            reconnect.doors.at_once = static_cast<std::size_t>(*at_once);
        if (const auto through = fields.integer("handshakes-a-bastion", 1, most_at_once))
            reconnect.doors.through_a_bastion = static_cast<std::size_t>(*through);
        fields.finish();
    }

    void read_procedure(const std::string& path, Fields& fields, Config& config) {
        auto text = read_file(path);
        if (!text) {
            fields.wrong("procedures", path, "a readable file: " + text.error(),
                         "Correct the path; it is relative to this file.");
            return;
        }
        auto procedure = procedures::parse_procedure({path, *text});
        if (!procedure) {
            of_files_.insert(of_files_.end(), procedure.error().begin(), procedure.error().end());
            return;
        }
        const std::string name = fs::path(path).stem().string();
        if (!config.procedures
                 .try_emplace(name, desk::WrittenProcedure{std::move(*procedure), std::move(*text)})
                 .second)
            fields.wrong("procedures", path, "files whose names differ",
                         "Rename one: people ask for " + name + " by its name.");
    }

    desk::ChassisSettings read_chassis(Fields& fields) {
        desk::ChassisSettings settings;
        settings.name = fields.required_text("name", "edge-7");
        if (settings.name.find_first_not_of(name_characters) != std::string::npos ||
            settings.name.size() > 64)
            fields.wrong("name", settings.name, "at most 64 letters, digits, '-', '_', '.'",
                         "Rename it.");
        settings.target = read_target(fields, problems_, folder_);
        settings.target.also_at = read_also_at(fields, settings.target.host);
        settings.through = read_way(fields, bastions_);
        settings.in_band = fields.truth("in-band").value_or(false);
        settings.risk_group = fields.text("risk-group").value_or("");
        settings.serial = fields.text("serial");
        if (settings.serial && settings.serial->empty())
            fields.wrong("serial", "", "the serial of the chassis",
                         "Write it, or leave the key out: then no serial is checked.");
        settings.profile = profile(fields);
        if (settings.profile)
            settings.target.refusals = settings.profile->refusals;
        settings.allow_unproven = fields.texts("allow-unproven");
        if (const toml::table* pace = fields.table("pace"))
            read_pace(*pace, settings.pace);
        if (const toml::table* budget = fields.table("budget"))
            read_budget(*budget, settings);
        if (const toml::table* inventory = fields.table("inventory"))
            read_inventory(*inventory, settings);
        if (const toml::table* peak = fields.table("peak"))
            read_peak(*peak, settings);
        return settings;
    }

    void read_pace(const toml::table& table, watch::Pace& pace) {
        Fields fields(table, "[chassis.pace]", problems_);
        pace.pending = fields.duration("pending", 1ms, longest).value_or(pace.pending);
        pace.idle = fields.duration("idle", 1ms, longest).value_or(pace.idle);
        fields.finish();
    }

    void read_budget(const toml::table& table, desk::ChassisSettings& settings) {
        constexpr std::int64_t most = 1'000'000;
        Fields fields(table, "[chassis.budget]", problems_);
        if (const auto queries = fields.integer("queries-an-hour", 1, most))
            settings.budget.queries_an_hour = static_cast<std::size_t>(*queries);
        if (const auto channels = fields.integer("at-once", 1, most))
            settings.budget.at_once = static_cast<std::size_t>(*channels);
        const std::size_t least =
            settings.profile ? watch::least_budget(profiles::all_queries(*settings.profile).size(),
                                                   desk::queries_at_entrance(*settings.profile))
                             : 0;
        if (settings.budget.queries_an_hour.value_or(least) < least)
            fields.wrong("queries-an-hour", std::to_string(*settings.budget.queries_an_hour),
                         "at least " + std::to_string(least) +
                             ": two looks of this profile, each after connecting",
                         "Raise it, or leave queries out of the profile that no gate needs.");
        fields.finish();
    }

    void read_inventory(const toml::table& table, desk::ChassisSettings& settings) {
        Fields fields(table, "[chassis.inventory]", problems_);
        for (const state::Kind kind : state::words_of<state::Kind>()) {
            const std::string_view key = state::to_word(kind);
            std::vector<std::string> names = fields.texts(key);
            if (!table.contains(key))
                continue;
            if (names.empty() || std::find(names.begin(), names.end(), "") != names.end())
                fields.wrong(key, "a list with nothing in it or an empty name",
                             "the name of each one, as the device prints it",
                             "Write for example " + std::string(key) + " = [\"1\", \"2\"].");
            settings.inventory[kind] = std::move(names);
        }
        fields.finish();
    }

    void read_peak(const toml::table& table, desk::ChassisSettings& settings) {
        Fields fields(table, "[chassis.peak]", problems_);
        const std::string load = fields.required_text("load", "9 Tb/s");
        const auto quantity = units::parse_quantity(load);
        if (quantity && quantity->unit == units::Unit::bits_per_second &&
            quantity->value > units::Decimal())
            settings.peak_load = quantity->value;
        else if (!load.empty())
            fields.wrong("load", load, "a rate above 0, with its unit",
                         "Write for example load = \"9 Tb/s\".");
        fields.finish();
    }

    std::shared_ptr<const profiles::Profile> profile(Fields& fields) {
        const std::string path = beside(fields.required_text("profile", "quillon.toml"));
        if (path.empty())
            return nullptr;
        if (const auto known = profiles_.find(path); known != profiles_.end())
            return known->second;
        auto parsed = read_profile(path);
        if (!parsed) {
            const BadProfile& bad = parsed.error();
            if (bad.unreadable)
                fields.wrong("profile", *bad.unreadable, "a readable profile",
                             "Correct the path; it is relative to this file.");
            of_files_.insert(of_files_.end(), bad.problems.begin(), bad.problems.end());
            return profiles_[path] = nullptr;
        }
        return profiles_[path] = std::make_shared<const profiles::Profile>(std::move(*parsed));
    }

    const keys::File& file_;
    fs::path folder_;
    keys::Problems problems_;
    BastionBook bastions_;
    Problems of_files_;
    std::map<std::string, std::shared_ptr<const profiles::Profile>>
        profiles_; ///< by path: read once
};

} // namespace

tl::expected<Config, Problems> load_config(const std::string& path) {
    const auto file = read_config_file(path);
    if (!file)
        return tl::unexpected(file.error());
    return ConfigReader(*file).read();
}

const desk::ChassisSettings* chassis_or_say(const Config& config, std::string_view name) {
    std::string names;
    for (const desk::ChassisSettings& settings : config.chassis) {
        if (settings.name == name)
            return &settings;
        names += (names.empty() ? "" : ", ") + settings.name;
    }
    std::cerr << "slotwitness: the configuration has no chassis " << name << "; it has " << names
              << '\n';
    return nullptr;
}

namespace {

/// What `load` makes of the file, with its problems printed. The error is the exit code.
template <class Value>
tl::expected<Value, int> or_say(tl::expected<Value, Problems> (*load)(const std::string&),
                                const std::string& path) {
    if (!fs::exists(path)) {
        std::cerr << "slotwitness: there is no configuration " << path
                  << "; name one that is there with --config\n";
        return tl::unexpected(static_cast<int>(exit_no_input));
    }
    auto loaded = load(path);
    if (loaded)
        return std::move(*loaded);
    for (const state::Problem& problem : loaded.error())
        std::cerr << state::to_text(problem) << '\n';
    return tl::unexpected(static_cast<int>(exit_bad_config));
}

} // namespace

tl::expected<Config, int> load_config_or_say(const std::string& path) {
    return or_say(load_config, path);
}

tl::expected<AccessSettings, int> load_access_or_say(const std::string& path) {
    return or_say(load_access, path);
}

} // namespace slotwitness::program
