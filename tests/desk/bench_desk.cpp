#include "bench_desk.hpp"

#include <gtest/gtest.h>

#include <fstream>
#include <iterator>
#include <utility>

namespace slotwitness::twins {

namespace {

std::shared_ptr<const profiles::Profile> quillon() {
    const std::string file = SLOTWITNESS_FIXTURES "/quillon/profile.toml";
    std::ifstream stream(file);
    const std::string text(std::istreambuf_iterator<char>(stream), {});
    auto profile = profiles::parse_profile(text, file);
    if (!profile)
        throw std::runtime_error(state::to_text(profile.error().front()));
    return std::make_shared<const profiles::Profile>(std::move(*profile));
}

std::string cell(const std::string& text, std::size_t width) {
    return text + std::string(width - text.size(), ' ');
}

} // namespace

BenchDesk::BenchDesk(std::string journal) : journal_(std::move(journal)) {
    settings.name = "edge-7";
    settings.profile = quillon();
    settings.pace = {units::Duration(2'000), units::Duration(60'000)};
    device->answer("tell chassis", tell_chassis("QC7781203"));
    device->answer("tell planes", tell_planes({{"1"}, {"2"}, {"3"}}));
}

BenchDesk::~BenchDesk() {
    if (desk_)
        stop();
}

void BenchDesk::begin() {
    auto store = journal::open_sqlite(journal_);
    ASSERT_TRUE(store) << store.error().text;
    std::vector<desk::ChassisSettings> chassis{settings};
    chassis.insert(chassis.end(), more.begin(), more.end());
    desk_ =
        std::make_unique<desk::LiveDesk>(loop_.get_executor(), std::move(chassis), reconnect, book);
    desk_->on_published([this](const std::string&, const desk::Recorded& recorded) {
        published_.push_back(recorded);
    });
    auto link = [this](boost::asio::any_io_executor, const desk::ChassisSettings&) {
        return make_scripted_link(device);
    };
    auto clock = [this](std::int64_t offset) {
        clock_ = std::make_unique<ManualClock>(machine.boottime_ms + offset);
        return clock_->twin();
    };
    const auto begun = desk_->begin(std::make_unique<FailingStore>(std::move(*store), disk_full),
                                    link, [now = machine] { return now; }, clock,
                                    {.journal_place = journal_place, .open_to_read = [this] {
                                         return journal::open_sqlite_read_only(journal_);
                                     }});
    ASSERT_TRUE(begun) << begun.error();
}

void BenchDesk::run_until(const std::function<bool()>& done) {
    while (!done())
        if (loop_.run_one() == 0) {
            FAIL() << "the loop ran out of work before what the test waits for";
        }
}

void BenchDesk::advance(units::Duration by) {
    clock_->advance(by);
}

std::size_t BenchDesk::looks() const {
    std::size_t looks = 0;
    for (const desk::Recorded& recorded : published_)
        looks += std::holds_alternative<witness::Answered>(recorded.event.what) ||
                 std::holds_alternative<witness::Failed>(recorded.event.what);
    return looks;
}

void BenchDesk::advance_until(units::Duration by, const std::function<bool()>& done) {
    for (int round = 0; round < 500; ++round) {
        if (done())
            return;
        const std::size_t before = looks();
        advance(by);
        run_until([&] { return done() || looks() > before; });
    }
    FAIL() << "500 rounds did not bring what the test waits for";
}

void BenchDesk::stop() {
    desk_->stop();
    loop_.run();
    desk_.reset();
    loop_.restart();
}

tl::expected<desk::GateView, desk::Refusal> BenchDesk::open(const std::string& sentence,
                                                            const std::string& key) {
    desk::GateWish wish{"edge-7", sentence, std::nullopt, std::nullopt, "the test", key};
    return await(desk_->open_gate(std::move(wish)));
}

std::string tell_planes(const std::vector<Plane>& planes) {
    std::string text = "PLANE  DRIVE     CONDITION  PATHS   OF  CARRIES UP TO  FAULTS\n"
                       "-----  --------  ---------  -----  ---  -------------  ------\n";
    for (const Plane& plane : planes) {
        const bool carries = plane.condition == "carrying";
        text += cell(plane.name, 7) + cell(plane.drive, 10) + cell(plane.condition, 11) +
                (carries ? "   48   48       3.2 Tb/s       0\n"
                         : "    0   48         0 Tb/s       0\n");
    }
    return text;
}

std::string tell_chassis(const std::string& serial) {
    return "Chassis edge-7\n"
           "  Serial: " +
           serial +
           "\n"
           "  Build: Q12\n"
           "  Software: 4.2.1\n"
           "  Running for: 3d04h\n"
           "  Carrying: 6.4 Tb/s\n";
}

} // namespace slotwitness::twins
