#pragma once

#include <slotwitness/card/card.hpp>

#include <string>

namespace slotwitness::days {

/// What a close-out card says, in a few lines without times: what people must find on it. Lines
/// that have nothing to say are left out.
///
///     outcome   closed degraded
///     part      QL40100013 before, not listed last
///     reached   seat-spare released
///     shown     STOP at seat-spare
///     lost      cooling
///     people    chassis named; stop answered the cooling clock; closed T-3
///     as meant  module FAB3
///     differs   fan tray TRAY2 gone; fabric plane 3 admin oper; new alarm PSU1: Feed is lost.
///     waived    controller CTL0 standby
///     faults    last major FAB3 Module is not in its place.
[[nodiscard]] std::string in_short(const card::Card& card);

/// What the card of that rehearsal must say, from close-outs.expected beside the rehearsals; empty: it
/// stands not there.
[[nodiscard]] std::string close_out_of(const std::string& rehearsal);

} // namespace slotwitness::days
