#include "cooling.hpp"

#include <algorithm>
#include <utility>

namespace slotwitness::witness {

using namespace std::chrono_literals;

Cooling::Cooling(const std::string& procedure, CoolingPlan plan, std::optional<Duration> takes,
                 Instant opened)
    : plan_(std::move(plan)), takes_(takes), last_shown_(opened) {
    finding_.procedure = procedure;
}

void Cooling::begin(Instant at) {
    if (!runs())
        run_from(at);
    said_ = at;
}

void Cooling::run_from(Instant at) {
    finding_.began = std::min(last_shown_, at);
    finding_.ended.reset();
    said_.reset();
    set_limit();
}

void Cooling::part_is_out() {
    part_is_out_ = true;
    finding_.turning_back = false;
    set_limit();
}

void Cooling::part_is_in(Instant at) {
    part_is_out_ = false;
    set_limit();
    reach(at);
}

Instant Cooling::surely_shown(const Look& look) const {
    // Its table may be so old.
    return look.asked - plan_.back.refresh;
}

void Cooling::look(Look look, Truth present, Truth operational) {
    if (runs()) {
        // An older table, or an answer under way, may still show the tray as it was before.
        const Instant out = std::max(*finding_.began, said_.value_or(*finding_.began));
        if (operational == Truth::yes && look.asked - plan_.back.refresh > out) {
            finding_.ended = look.answered;
            finding_.passed = finding_.accepted = finding_.turning_back = false;
            last_shown_ = surely_shown(look);
            set_limit();
        }
        return;
    }
    if (present == Truth::yes)
        last_shown_ = surely_shown(look);
    else if (present == Truth::no || allowed_)
        run_from(look.answered);
}

void Cooling::forecast(const ForecastMade& forecast) {
    if (!runs())
        return;
    if (!forecast.at && !forecast.because.empty())
        finding_.unseen[forecast.sensor] = forecast.because;
    else
        finding_.unseen.erase(forecast.sensor);
    if (!forecast.at || (forecast_ && *forecast_ <= *forecast.at))
        return;
    forecast_ = forecast.at;
    if (*forecast.at < *finding_.limit)
        finding_.shortened = forecast.because;
    set_limit();
}

void Cooling::set_limit() {
    finding_.limit.reset();
    finding_.turn_back.reset();
    if (!runs()) {
        forecast_.reset();
        finding_.shortened.clear();
        finding_.unseen.clear();
        return;
    }
    finding_.limit = *finding_.began + plan_.limit;
    if (forecast_)
        finding_.limit = std::max(*finding_.began, std::min(*finding_.limit, *forecast_));
    if (takes_ && !part_is_out_)
        finding_.turn_back = *finding_.limit - *takes_;
}

void Cooling::lose_time() {
    if (runs())
        finding_.passed = !finding_.accepted;
}

bool Cooling::answer(std::string_view by, std::string_view reason) {
    if (!finding_.passed && finding_.unseen.empty())
        return false;
    finding_.accepted = finding_.accepted || finding_.passed;
    finding_.passed = false;
    finding_.unseen.clear();
    finding_.answered_by = by;
    finding_.answer = reason;
    return true;
}

std::optional<Instant> Cooling::due() const {
    if (!runs())
        return std::nullopt;
    if (finding_.turn_back && !finding_.turning_back)
        return std::min(*finding_.turn_back, *finding_.limit);
    if (finding_.passed || finding_.accepted)
        return std::nullopt;
    return finding_.limit;
}

void Cooling::reach(Instant now) {
    if (!runs())
        return;
    if (finding_.turn_back && *finding_.turn_back <= now)
        finding_.turning_back = true;
    if (*finding_.limit <= now && !finding_.accepted)
        finding_.passed = true;
}

} // namespace slotwitness::witness
