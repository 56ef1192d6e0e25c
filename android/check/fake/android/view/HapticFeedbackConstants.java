package android.view;

public class HapticFeedbackConstants {
    public static final int KEYBOARD_TAP = 3;
}
