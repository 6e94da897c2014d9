//! Whether the desktop is light or dark, where the window system does not say it by itself.
//!
//! Always: asked once, away from the thread that draws; where nobody answers, nothing changes.
//! Source: XDG Desktop Portal, interface `org.freedesktop.portal.Settings`, key `color-scheme` of `org.freedesktop.appearance`:
//! 1 is dark, 2 is light, everything else is no preference.
//! Not known here: what a user chose in the window.

use eframe::egui::Theme;
use zbus::zvariant::{OwnedValue, Value};

/// What the desktop prefers, if it says so.
pub fn of_the_desktop() -> Option<Theme> {
    pollster::block_on(asked()).ok().and_then(|value| meant(&value))
}

async fn asked() -> zbus::Result<OwnedValue> {
    let bus = zbus::Connection::session().await?;
    let mut last = Err(zbus::Error::InvalidReply);
    // The second is the older one of the two, and wraps its answer once more.
    for method in ["ReadOne", "Read"] {
        last = bus
            .call_method(
                Some("org.freedesktop.portal.Desktop"),
                "/org/freedesktop/portal/desktop",
                Some("org.freedesktop.portal.Settings"),
                method,
                &("org.freedesktop.appearance", "color-scheme"),
            )
            .await
            .and_then(|reply| reply.body().deserialize::<OwnedValue>());
        if last.is_ok() {
            break;
        }
    }
    last
}

/// What the number stands for, however often it is wrapped.
fn meant(value: &Value<'_>) -> Option<Theme> {
    match value {
        Value::U32(1) => Some(Theme::Dark),
        Value::U32(2) => Some(Theme::Light),
        Value::Value(inner) => meant(inner),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_is_dark_two_is_light_and_nothing_else_is_a_preference() {
        let wrapped = |number: u32| Value::Value(Box::new(Value::U32(number)));
        assert_eq!(
            [0, 1, 2, 3].map(|number| meant(&Value::U32(number))),
            [None, Some(Theme::Dark), Some(Theme::Light), None]
        );
        assert_eq!(meant(&wrapped(1)), Some(Theme::Dark));
        assert_eq!(meant(&Value::from("dark")), None);
    }
}
